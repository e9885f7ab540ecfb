import { expect, test } from 'vitest';
import { BadUsage, type CommandIo, type OptionValues } from '../../../core/commands/cli-command';
import { simulateCommand } from '../../../core/commands/cli-simulate';
import { SIMULATE_OPTIONS } from '../../../core/commands/simulate-help';
import { scenarioOf } from '../../../core/commands/simulate-options';
import { PLAIN_SCENARIO } from '../../../core/scenario/scenario';
import { PRESETS } from '../../../core/commands/simulate-presets';
import wavefile from 'wavefile';

/** A machine that keeps what is written in memory. */
async function run(values: OptionValues, files: string[] = []): Promise<Map<string, Buffer>> {
  const written = new Map<string, Buffer[]>();
  const io = {
    openOutput: (path: string) => {
      written.set(path, []);
      return {
        write: (piece: string | Uint8Array) => void written.get(path)!.push(Buffer.from(piece as Uint8Array)),
        overwrite: () => expect.unreachable('simulate writes in one go'),
      };
    },
    rest: () => Promise.resolve(),
  } as unknown as CommandIo;
  expect(await simulateCommand.run(files, values, io)).toBe(true);
  return new Map([...written].map(([path, pieces]) => [path, Buffer.concat(pieces)]));
}

test('a recording and its truth are written side by side', async () => {
  const files = await run({ out: 'some/where.wav', seconds: '1.5', rate: '44100', bits: '24', rpm: '3000' });
  expect([...files.keys()]).toEqual(['some/where.wav', 'some/where.truth.csv', 'some/where.truth.json']);
  const wav = new wavefile.WaveFile(files.get('some/where.wav')!); // an independent reader
  expect(wav.fmt).toMatchObject({ sampleRate: 44_100, bitsPerSample: 24, numChannels: 1 });
  expect((wav.getSamples() as unknown as Float64Array).length).toBe(66_150);
  const rows = files.get('some/where.truth.csv')!.toString().trim().split('\r\n');
  expect(rows[0]).toBe('time_s,rpm,rpm_mean,advance_deg,fate,engine_time_s');
  expect(Math.abs(rows.length - 1 - 37)).toBeLessThan(2); // 25 strikes a second at 3000 rpm
  const truth = JSON.parse(files.get('some/where.truth.json')!.toString()) as { scenario: unknown };
  expect(truth.scenario).toEqual(scenarioOf({ seconds: '1.5', rate: '44100', bits: '24', rpm: '3000' }));
});

test('two channels add the sensor’s truth', async () => {
  const files = await run({ out: 'x.wav', seconds: '1', channels: '2' });
  expect(files.has('x.truth.sensor.csv')).toBe(true);
  const wav = new wavefile.WaveFile(files.get('x.wav')!);
  expect(wav.fmt).toMatchObject({ numChannels: 2, bitsPerSample: 16, sampleRate: 48_000 });
});

test('32 bits are floating point', async () => {
  const files = await run({ out: 'x.wav', seconds: '0.2', bits: '32' });
  expect(new wavefile.WaveFile(files.get('x.wav')!).fmt).toMatchObject({ audioFormat: 3, bitsPerSample: 32 });
});

test('nothing asked for is the plain scenario', () => {
  expect(scenarioOf({})).toEqual(PLAIN_SCENARIO);
});

test('points are heard closing where a dwell is said, on a coil lead alone', async () => {
  expect(scenarioOf({ pickup: 'coil', dwell: '31', closing: '0.1' }).points).toMatchObject({
    dwellDeg: 31,
    share: 0.1,
  });
  expect(() => scenarioOf({ pickup: 'coil', closing: '0.1' })).toThrow('--closing needs --dwell');
  await expect(run({ out: 'x.wav', seconds: '0.2', dwell: '31' })).rejects.toThrow('on a coil lead');
});

test('each option reaches its place in the scenario', () => {
  const { sound, sensor, ...rest } = scenarioOf({
    seed: '9',
    stroke: '2',
    cylinders: '3',
    pickup: 'plug',
    'firing-deg': '0,100,200',
    wander: '0.01',
    initial: '-5',
    springs: 'mixed',
    stop: 'long',
    'spark-scatter': '0.5',
    misfires: '0.1',
    limiter: '6000',
    repeats: true,
    peak: '0.7',
    scatter: '0.3',
    rise: '2',
    fall: '60',
    'ring-hz': '9000',
    'ring-decay': '0.5',
    kick: '-0.8',
    'kick-delay': '2',
    crosstalk: '0.03-0.65',
    noise: '12',
    hum: '1',
    'hum-hz': '60',
    whine: '0.2',
    strays: '3',
    pumping: '20',
    coupling: '20',
    invert: true,
    lost: '30',
    'clock-ppm': '100',
    channels: '2',
    'reference-deg': '75',
    sensor: 'hall',
    'sensor-width': '300',
    leak: '0.2',
    missed: '0.05',
    extra: '0.02',
    'sensor-invert': true,
    'sensor-delay': '80',
    'quiet-start': '0.5',
    'quiet-end': '0.2',
  });
  expect(rest).toMatchObject({
    seed: 9,
    engine: { strokes: 2, cylinders: 3, pickup: 'plug' },
    firingDeg: [0, 100, 200],
    sparkScatterDeg: 0.5,
    misfireShare: 0.1,
    limiterRpm: 6000,
    repeats: { belowRpm: 3000, spacingS: 1e-3, spanDeg: 20 },
    quietStartS: 0.5,
    quietEndS: 0.2,
    curve: { initialDeg: -5, mechanism: { strokes: 2, stopRangeDeg: 24 } },
    profile: { wanderShare: 0.01 },
  });
  expect(sound).toMatchObject({
    peak: 0.7,
    amplitudeScatter: 0.3,
    kick: { share: -0.8, delayS: 2e-3 },
    crosstalk: { lowest: 0.03, highest: 0.65 },
    noiseBelowDb: 12,
    hum: { hz: 60, share: 1 },
    whineShare: 0.2,
    straysPerSecond: 3,
    pumpingDb: 20,
    acCouplingHz: 20,
    inverted: true,
    lostPerMinute: 30,
    clockPpm: 100,
  });
  const { riseS, fallS, ringHz, ringDecayS } = sound.shape;
  expect([riseS * 1e6, fallS * 1e6, ringHz, ringDecayS * 1e3].map((x) => Number(x.toFixed(9)))).toEqual([
    2, 60, 9000, 0.5,
  ]);
  expect(sensor).toMatchObject({
    beforeTdcDeg: 75,
    leakShare: 0.2,
    missedShare: 0.05,
    extraShare: 0.02,
    inverted: true,
    shape: { kind: 'hall' },
  });
  expect(sensor!.shape.widthS).toBeCloseTo(300e-6, 12);
  expect(sensor!.delayS).toBeCloseTo(80e-6, 12);
});

test('presets lie on one another, and options on them', () => {
  const { sound, misfireShare } = scenarioOf({ preset: 'hum, misfires,inverted', hum: '0.4' });
  expect(sound.hum).toEqual({ hz: 50, share: 0.4 });
  expect(sound.inverted).toBe(true);
  expect(misfireShare).toBe(0.08);
});

const cornersOf = (profile: string, seconds = '10'): unknown =>
  scenarioOf({ profile, seconds }).profile.corners;

test('a profile is said in words or by its corners', () => {
  expect(cornersOf('sweep:800-4500', '30')).toEqual([
    { timeS: 0, rpm: 800 },
    { timeS: 30, rpm: 4500 },
  ]);
  expect(cornersOf('0:800,10:4000')).toEqual([
    { timeS: 0, rpm: 800 },
    { timeS: 10, rpm: 4000 },
  ]);
  expect(cornersOf('idle:700')).toEqual([{ timeS: 0, rpm: 700 }]);
  expect(scenarioOf({ profile: 'idle:700' }).profile.wanderShare).toBe(0.08);
  // three steps of ten seconds, the way to the next taking the first 1.5 s of it
  expect(cornersOf('steps:1000,2000,3000', '30')).toEqual([
    { timeS: 0, rpm: 1000 },
    { timeS: 10, rpm: 1000 },
    { timeS: 11.5, rpm: 2000 },
    { timeS: 20, rpm: 2000 },
    { timeS: 21.5, rpm: 3000 },
  ]);
});

test('a curve is said by its corners', () => {
  expect(scenarioOf({ curve: '800:10,3000:34' }).curve).toEqual({
    kind: 'corners',
    corners: [
      { rpm: 800, advanceDeg: 10 },
      { rpm: 3000, advanceDeg: 34 },
    ],
  });
});

test('no crosstalk, no kick, no hum and no coupling can be asked for by nought', () => {
  const { sound } = scenarioOf({
    preset: 'crosstalk,kick,hum',
    crosstalk: '0',
    kick: '0',
    hum: '0',
    coupling: '0',
  });
  expect(sound).toMatchObject({ crosstalk: null, kick: null, hum: null, acCouplingHz: null });
});

test.each<[OptionValues, RegExp]>([
  [{ preset: 'loud' }, /no preset "loud"; the presets are clean, hum/],
  [{ preset: 'toString' }, /no preset/],
  [{ rpm: 'fast' }, /--rpm must be a number/],
  [{ rpm: '1000', profile: 'blip' }, /--rpm and --profile cannot both/],
  [{ profile: 'gallop' }, /--profile must be sweep, steps/],
  [{ profile: 'sweep:800' }, /sweep:800-4500/],
  [{ profile: 'steps:1000,2000,3000', seconds: '3' }, /3 steps need more than 4.5 seconds/],
  [{ profile: '0:800,ten:900' }, /pairs such as/],
  [{ curve: '800' }, /pairs such as/],
  [{ curve: '800:10', springs: 'light' }, /--curve and --springs cannot both/],
  [{ springs: 'soft' }, /light, middle, heavy or mixed/],
  [{ crosstalk: '0.5-0.1' }, /--crosstalk must be/],
  [{ crosstalk: '2' }, /--crosstalk must be/],
  [{ bits: '20' }, /16, 24 or 32/],
  [{ leak: '0.1' }, /--leak needs --channels 2/],
  [{ 'firing-deg': '0,a' }, /--firing-deg must be numbers/],
  [{ seconds: '-1' }, /--seconds/],
])('%o is refused in one sentence', (values, sentence) => {
  expect(() => scenarioOf(values)).toThrow(sentence);
  expect(() => scenarioOf(values)).toThrow(BadUsage);
});

test.each<[OptionValues, string[], RegExp]>([
  [{}, [], /--out FILE.wav is wanted/],
  [{ out: 'x.mp3' }, [], /must name a .wav/],
  [{ out: 'x.wav' }, ['in.wav'], /reads no file/],
  [{ out: 'x.wav', pickup: 'coil', crosstalk: '0.2' }, [], /crosstalk needs a plug/],
  [{ out: 'x.wav', 'quiet-start': '20' }, [], /quiet start and end/],
  [{ out: 'x.wav', 'firing-deg': '0,90' }, [], /8 rising figures/],
  [{ out: 'x.wav', curve: '3000:10,800:3' }, [], /rising speeds/],
  [{ out: 'x.wav', profile: '5:800' }, [], /corner at 0 s/],
])('%o with files %o is a wrong command line', async (values, files, sentence) => {
  await expect(run(values, files)).rejects.toThrow(sentence);
  await expect(run(values, files)).rejects.toThrow(BadUsage);
});

test('the help names every preset and every option says what it does', () => {
  for (const [name, { help }] of Object.entries(PRESETS)) {
    expect(simulateCommand.more).toContain(name);
    expect(simulateCommand.more).toContain(help);
  }
  for (const { help } of Object.values(SIMULATE_OPTIONS)) expect(help.length).toBeGreaterThan(5);
});
