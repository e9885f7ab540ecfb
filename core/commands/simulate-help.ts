/** What `simulate` can be asked for: its options and presets as help. Nothing is computed here. */
import type { OptionSpec } from './cli-command';
import { PRACTICE_SPRINGS, PRACTICE_STOPS } from '../practice/practice-distributor';
import { PRESETS } from './simulate-presets';

const text = (value: string, help: string): OptionSpec => ({ type: 'string', value, help });
const flag = (help: string): OptionSpec => ({ type: 'boolean', help });
export const SPRING_WORDS = PRACTICE_SPRINGS.map(({ id }) => id);
export const STOP_WORDS = PRACTICE_STOPS.map(({ id }) => id);

export const SIMULATE_OPTIONS: Readonly<Record<string, OptionSpec>> = {
  out: text('FILE.wav', 'the recording; its truth is written beside it'),
  preset: text('NAME,NAME', 'named scenarios, laid on one another in this order; listed below'),
  rate: text('HZ', 'sample rate (48000)'),
  bits: text('16|24|32', 'bits a sample; 32 is floating point (16)'),
  channels: text('1|2', '2 adds a crank sensor (1)'),
  seconds: text('S', 'length, quiet start and end included (10)'),
  seed: text('N', 'whole number: the same seed, the same samples (1)'),
  stroke: text('4|2', 'strokes of a cycle (4)'),
  cylinders: text('N', 'cylinders (8)'),
  pickup: text('WORD', 'plug, wasted, coil or sensor (plug)'),
  'firing-deg': text('DEG,DEG', 'top dead centres within a cycle in firing order, from 0 on (evenly)'),
  rpm: text('RPM', 'a steady speed (2000)'),
  profile: text(
    'WORDS',
    'sweep:800-4500, steps:1000,1500,2000, idle:800, blip, cranking, or corners 0:800,10:4000',
  ),
  wander: text('SHARE', 'how far each cycle is off the profile at most (0.003)'),
  initial: text('DEG', 'initial setting, crank degrees before TDC (10)'),
  springs: text('WORD', `${SPRING_WORDS.join(', ')} (middle)`),
  stop: text('WORD', `${STOP_WORDS.join(', ')} (middle)`),
  curve: text('RPM:DEG,...', 'an advance curve by its corners, instead of springs and stop'),
  'spark-scatter': text('DEG', 'standard deviation of a spark about the curve (0.2)'),
  misfires: text('SHARE', 'sparks that do not come, one by one (0)'),
  limiter: text('RPM', 'above this, sparks are dropped many in a row'),
  repeats: flag('strikes repeated every millisecond for 20 degrees, below 3000 rpm'),
  peak: text('SHARE', 'strike peak as a share of full scale; over 1 it is clipped (0.5)'),
  scatter: text('SHARE', 'standard deviation of the strikes’ size (0.05)'),
  rise: text('US', 'rise of a strike, microseconds (5)'),
  fall: text('US', 'fall of a strike, microseconds (40)'),
  'ring-hz': text('HZ', 'ringing of the clamp (6000)'),
  'ring-decay': text('MS', 'its decay, milliseconds (0.3)'),
  kick: text('SHARE', 'the kick when the spark goes out, share of the strike, either sign (0)'),
  'kick-delay': text('MS', 'how long after the strike (1.3)'),
  dwell: text('DEG', 'points heard closing on a coil lead, closed for so many distributor degrees'),
  closing: text('SHARE', 'size of their closing, share of the strike, either sign (-0.2)'),
  crosstalk: text('SHARE|LOW-HIGH', 'the other leads, share of the strike (0)'),
  noise: text('DB', 'white noise below the strike’s peak (60)'),
  hum: text('SHARE', 'hum, share of the strike (0)'),
  'hum-hz': text('50|60', 'its frequency (50)'),
  whine: text('SHARE', 'alternator whine, share of the strike (0)'),
  strays: text('PER_S', 'stray impulses a second (0)'),
  pumping: text('DB', 'a gain control that pumps by so much (0)'),
  coupling: text('HZ', 'corner of the AC coupling; 0 is none (5)'),
  invert: flag('strikes downwards'),
  lost: text('PER_MIN', 'blocks of 1 to 50 ms that vanish, a minute (0)'),
  'clock-ppm': text('PPM', 'how fast the input’s clock is (0)'),
  'reference-deg': text('DEG', 'the sensor pulses so long before TDC (60)'),
  sensor: text('WORD', 'optical, reluctance or hall (reluctance)'),
  'sensor-width': text('US', 'width of its pulse, microseconds (150)'),
  'sensor-invert': flag('its pulses downwards'),
  'sensor-delay': text('US', 'its channel comes so much later than the clamp’s (0)'),
  leak: text('SHARE', 'ignition leaking into the sensor, share of its pulse (0.1)'),
  missed: text('SHARE', 'sensor pulses that do not come (0)'),
  extra: text('SHARE', 'turns with a sensor pulse too many (0)'),
  'quiet-start': text('S', 'samples of nothing at the start (0)'),
  'quiet-end': text('S', 'samples of nothing at the end (0)'),
};

export const PRESET_HELP = [
  'A negative number needs an equals sign: --kick=-0.5.',
  '',
  'Presets:',
  ...Object.entries(PRESETS).map(([name, { help }]) => `  ${name.padEnd(16)} ${help}`),
  '',
  'Beside FILE.wav stand FILE.truth.csv (time_s, rpm, rpm_mean, advance_deg, fate, engine_time_s: a row for each strike',
  'of the clamped lead; fate is fired, misfire, limiter or lost), FILE.truth.json (everything that was asked for) and,',
  'with a crank sensor, FILE.truth.sensor.csv. time_s counts from the first sample of the recording; it is the onset of',
  'the strike; for the sensor its leading edge passes half its height then.',
].join('\n');
