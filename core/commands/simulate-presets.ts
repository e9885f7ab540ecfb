/** Named scenarios for made recordings: each changes a scenario, so that several can be laid on one another. A preset
 * changes what the engine and the input do; which engine, rate and length stay as asked. */
import type { SpeedProfile } from '../scenario/motion';
import type { Scenario } from '../scenario/scenario';
import { PLAIN_SENSOR, type Sound } from '../scenario/sound';

export interface Preset {
  readonly help: string;
  readonly change: (scenario: Scenario) => Scenario;
}

const heard = (help: string, change: Partial<Sound>): Preset => ({
  help,
  change: (scenario) => ({ ...scenario, sound: { ...scenario.sound, ...change } }),
});
const changed = (help: string, change: Partial<Scenario>): Preset => ({
  help,
  change: (scenario) => ({ ...scenario, ...change }),
});
const driven = (help: string, profile: (seconds: number) => SpeedProfile): Preset => ({
  help,
  change: (scenario) => ({ ...scenario, profile: profile(scenario.seconds) }),
});

/** From 900 to 4500 rpm in half a second and back, every four seconds. */
export function blipProfile(seconds: number): SpeedProfile {
  const corners = [{ timeS: 0, rpm: 900 }];
  for (let at = 1; at < seconds; at += 4)
    corners.push(
      { timeS: at, rpm: 900 },
      { timeS: at + 0.5, rpm: 4500 },
      { timeS: at + 0.8, rpm: 4500 },
      { timeS: at + 2.3, rpm: 900 },
    );
  return { corners, wanderShare: 0.005 };
}

/** Three seconds on the starter, then it runs up and settles. */
export const CRANKING_PROFILE: SpeedProfile = {
  corners: [
    { timeS: 0, rpm: 300 },
    { timeS: 3, rpm: 300 },
    { timeS: 3.8, rpm: 1500 },
    { timeS: 6, rpm: 950 },
  ],
  wanderShare: 0.04,
};

/** A long cam's idle: every cycle is up to 8 % off. */
export const idleProfile = (rpm: number): SpeedProfile => ({
  corners: [{ timeS: 0, rpm }],
  wanderShare: 0.08,
});

/** Over a limiter and back, by way of a slow rise. */
const limiterScenario = (scenario: Scenario): Scenario => ({
  ...scenario,
  limiterRpm: 5500,
  profile: {
    corners: [
      { timeS: 0, rpm: 4500 },
      { timeS: 0.4 * scenario.seconds + 1e-3, rpm: 5600 },
      { timeS: 0.7 * scenario.seconds + 2e-3, rpm: 5600 },
      { timeS: scenario.seconds + 3e-3, rpm: 4500 },
    ],
    wanderShare: 0.003,
  },
});

/** A V6 whose cylinders share crank pins: fires 150 and 90 degrees apart in turn. */
const ODD_FIRE_DEG = [0, 150, 240, 390, 480, 630];

export const PRESETS: Readonly<Record<string, Preset>> = {
  clean: heard('nothing but strikes and a little noise', {}),
  hum: heard('50 Hz hum and its harmonics as large as the strike', { peak: 0.3, hum: { hz: 50, share: 1 } }),
  'hum-60': heard('the same at 60 Hz', { peak: 0.3, hum: { hz: 60, share: 1 } }),
  whine: heard('an alternator that whines with the speed', { whineShare: 0.25 }),
  inverted: heard('strikes downwards', { inverted: true }),
  clipped: heard('strikes far over full scale', { peak: 4 }),
  weak: heard('strikes of 0.01 of full scale', { peak: 0.01, noiseBelowDb: 30 }),
  noisy: heard('white noise 14 dB below the strike', { noiseBelowDb: 14 }),
  misfires: changed('8 % of the sparks do not come', { misfireShare: 0.08 }),
  strays: heard('two stray impulses a second', { straysPerSecond: 2 }),
  crosstalk: heard('the other leads at 3 to 30 % (plug and wasted-spark leads)', {
    crosstalk: { lowest: 0.03, highest: 0.3 },
  }),
  'heavy-crosstalk': heard('the other leads at 30 to 65 %', { crosstalk: { lowest: 0.3, highest: 0.65 } }),
  'lost-blocks': heard('1 to 50 ms of samples vanish, twenty times a minute', { lostPerMinute: 20 }),
  kick: heard('a second kick of 70 %, downwards, when the spark goes out', {
    kick: { share: -0.7, delayS: 1.4e-3 },
  }),
  repeats: changed('strikes repeated every millisecond for 20 degrees, below 3000 rpm', {
    repeats: { belowRpm: 3000, spacingS: 1e-3, spanDeg: 20 },
  }),
  pumping: heard('a gain control that pumps by 20 dB about once a second', { pumpingDb: 20 }),
  idle: driven('an uneven idle at 800 rpm', () => idleProfile(800)),
  sweep: driven('a slow sweep from 800 to 4500 rpm over the whole length', (seconds) => ({
    corners: [
      { timeS: 0, rpm: 800 },
      { timeS: Math.max(seconds, 1e-3), rpm: 4500 },
    ],
    wanderShare: 0.003,
  })),
  blip: driven('free revs from 900 to 4500 rpm in half a second', blipProfile),
  cranking: driven('300 rpm on the starter, then running', () => CRANKING_PROFILE),
  limiter: { help: 'up to a limiter at 5500 rpm that drops many sparks in a row', change: limiterScenario },
  'odd-fire': {
    help: 'six cylinders that fire 150 and 90 degrees apart in turn',
    change: (scenario) => ({
      ...scenario,
      engine: { ...scenario.engine, strokes: 4, cylinders: 6 },
      firingDeg: ODD_FIRE_DEG,
    }),
  },
  sensor: changed('a second channel with a crank sensor 60 degrees before TDC', {
    sensor: { ...PLAIN_SENSOR, beforeTdcDeg: 60, missedShare: 0 },
  }),
};
