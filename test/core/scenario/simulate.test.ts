import { expect, test } from 'vitest';
import { profileMotion, turnsReader } from '../../../core/scenario/motion';
import { curveAdvanceDeg, PLAIN_SCENARIO, type Scenario } from '../../../core/scenario/scenario';
import { simulate, simulateWhole, type TrueStrike } from '../../../core/scenario/simulate';
import { blipProfile, CRANKING_PROFILE, PRESETS } from '../../../core/commands/simulate-presets';
import { CLEAN_SOUND, drawSound, PLAIN_SENSOR, type Sound } from '../../../core/scenario/sound';
import { createRandom } from '../../../dsp/maker/random';

const QUIET: Sound = { ...CLEAN_SOUND, noiseBelowDb: null, amplitudeScatter: 0, acCouplingHz: null };
const scenario = (change: Partial<Scenario>): Scenario => ({
  ...PLAIN_SCENARIO,
  seconds: 4,
  sound: QUIET,
  ...change,
});
const SENSOR = { ...PLAIN_SENSOR, leakShare: 0, beforeTdcDeg: 60, missedShare: 0 };

/** Where a quiet signal first passes a level after having been below it for so long: a finder that shares nothing with
 * the maker and sees no truth. Seconds, to a sample. */
function onsets(samples: Float32Array, level: number, deadS: number, sampleRateHz = 48_000): number[] {
  const found: number[] = [];
  samples.forEach((x, n) => {
    if (x > level && n / sampleRateHz - (found.at(-1) ?? -Infinity) > deadS) found.push(n / sampleRateHz);
  });
  return found;
}

function expectSame(found: number[], truth: TrueStrike[], withinS: number): void {
  const fired = truth.filter(({ fate }) => fate === 'fired');
  expect(found).toHaveLength(fired.length);
  fired.forEach(({ timeS }, i) => expect(Math.abs(found[i]! - timeS!)).toBeLessThan(withinS));
}

test('every strike of the truth is in the sound, at its instant, and no other', () => {
  const { channels, strikes } = simulateWhole(scenario({ misfireShare: 0.1, seconds: 10 }));
  expect(strikes.some(({ fate }) => fate === 'misfire')).toBe(true);
  expectSame(onsets(channels[0]!, 0.2, 0.01), strikes, 1.5 / 48_000);
});

test('with lost blocks, a fast clock and a quiet start the truth still stands where the sound does', () => {
  const sound = { ...QUIET, lostPerMinute: 100, clockPpm: 100 };
  const { channels, strikes } = simulateWhole(
    scenario({ sound, quietStartS: 0.5, quietEndS: 0.2, seconds: 12 }),
  );
  expect(strikes.some(({ fate, timeS }) => fate === 'lost' && timeS === null)).toBe(true);
  const fired = strikes.filter(({ fate }) => fate === 'fired');
  const found = onsets(channels[0]!, 0.2, 0.004);
  // a strike that a loss cut short may be seen late, and one cut at its start not at all
  const near = fired.filter(({ timeS }) => found.some((onset) => Math.abs(onset - timeS!) < 1.5 / 48_000));
  expect(near.length / fired.length).toBeGreaterThan(0.97);
  expect(channels[0]!.subarray(0, 24_000).every((x) => x === 0)).toBe(true);
  expect(channels[0]!.subarray(-9_600).every((x) => x === 0)).toBe(true);
});

// A four-stroke's plug fires every two turns, whatever the speed did in between: common practice.
test('the mean speed between strikes is two turns in the time between them', () => {
  const { strikes } = simulateWhole(
    scenario({ profile: blipProfile(4), sparkScatterDeg: 0, curve: level(12) }),
  );
  expect(strikes[0]!.rpmMean).toBeNull();
  strikes.slice(1).forEach((strike, i) => {
    expect(strike.rpmMean!).toBeCloseTo(120 / (strike.engineTimeS - strikes[i]!.engineTimeS), 6);
  });
});

function level(advanceDeg: number): Scenario['curve'] {
  return { kind: 'corners', corners: [{ rpm: 1000, advanceDeg }] };
}

test('the speed and the advance at each strike are those of the motion and the curve', () => {
  const curve = {
    kind: 'corners',
    corners: [
      { rpm: 1000, advanceDeg: 10 },
      { rpm: 3000, advanceDeg: 34 },
    ],
  } as const;
  const profile = {
    corners: [
      { timeS: 0, rpm: 800 },
      { timeS: 4, rpm: 4000 },
    ],
    wanderShare: 0,
  };
  const { strikes } = simulateWhole(scenario({ curve, profile, sparkScatterDeg: 0 }));
  for (const { engineTimeS, rpm, advanceDeg } of strikes) {
    expect(rpm).toBeCloseTo(800 + 800 * engineTimeS, 6);
    // decided a quarter turn before TDC: at most a quarter turn earlier than the spark
    const earliest = rpm - (800 * 15) / rpm;
    expect(advanceDeg!).toBeGreaterThanOrEqual(curveAdvanceDeg(curve, earliest) - 1e-9);
    expect(advanceDeg!).toBeLessThanOrEqual(curveAdvanceDeg(curve, rpm) + 1e-9);
  }
  expect(curveAdvanceDeg(curve, 2000)).toBe(22); // half way, by hand
  expect(curveAdvanceDeg(curve, 500)).toBe(10);
  expect(curveAdvanceDeg(curve, 9000)).toBe(34);
});

test('sparks scatter about the curve by what was asked for', () => {
  const { strikes } = simulateWhole(
    scenario({
      curve: level(20),
      sparkScatterDeg: 1,
      seconds: 60,
      sampleRateHz: 8000,
      profile: { corners: [{ timeS: 0, rpm: 4000 }], wanderShare: 0 },
    }),
  );
  const off = strikes.map(({ advanceDeg }) => advanceDeg! - 20);
  const sd = Math.sqrt(off.reduce((sum, x) => sum + x * x, 0) / off.length);
  expect(Math.abs(sd - 1)).toBeLessThan(3 / Math.sqrt(2 * off.length)); // standard error of a deviation, three of them
});

test('misfires come as often as asked', () => {
  const { strikes } = simulateWhole(scenario({ misfireShare: 0.08, seconds: 120, sampleRateHz: 8000 }));
  const share = strikes.filter(({ fate }) => fate === 'misfire').length / strikes.length;
  expect(Math.abs(share - 0.08)).toBeLessThan(3 * Math.sqrt((0.08 * 0.92) / strikes.length));
});

test('a limiter drops many in a row above its speed and none below it', () => {
  const { strikes } = simulateWhole(PRESETS['limiter']!.change(scenario({ seconds: 20 })));
  const cut = strikes.filter(({ fate }) => fate === 'limiter');
  expect(cut.length).toBeGreaterThan(50);
  cut.forEach(({ rpm }) => expect(rpm).toBeGreaterThan(5500));
  const runs = strikes
    .map(({ fate }) => (fate === 'limiter' ? 'x' : '.'))
    .join('')
    .match(/x+/g)!;
  expect(Math.max(...runs.map((run) => run.length))).toBeGreaterThanOrEqual(5);
});

// SIGNAL: again about every 1 ms for about 20 crank degrees, below 3000 rpm. At 1000 rpm 20 deg last 3.33 ms: three more.
test('repeated strikes follow every millisecond for twenty degrees', () => {
  const repeats = { belowRpm: 3000, spacingS: 1e-3, spanDeg: 20 };
  const steady = { corners: [{ timeS: 0, rpm: 1000 }], wanderShare: 0 };
  const { channels, strikes } = simulateWhole(scenario({ repeats, profile: steady }));
  const found = onsets(channels[0]!, 0.15, 0.8e-3);
  expect(found).toHaveLength(4 * strikes.length);
  found.forEach((timeS, i) =>
    expect(Math.abs(timeS - strikes[Math.floor(i / 4)]!.timeS! - (i % 4) * 1e-3)).toBeLessThan(4e-5),
  );
  const fast = { corners: [{ timeS: 0, rpm: 3500 }], wanderShare: 0 };
  const none = simulateWhole(scenario({ repeats, profile: fast }));
  expect(onsets(none.channels[0]!, 0.15, 0.8e-3)).toHaveLength(none.strikes.length);
});

test('the other leads come through at their own places in the firing order', () => {
  const sound = { ...QUIET, crosstalk: { lowest: 0.3, highest: 0.3 } };
  const steady = { corners: [{ timeS: 0, rpm: 1500 }], wanderShare: 0 };
  const { channels, strikes } = simulateWhole(
    scenario({ sound, profile: steady, sparkScatterDeg: 0, curve: level(10) }),
  );
  const found = onsets(channels[0]!, 0.08, 2e-3);
  expect(Math.abs(found.length - 8 * strikes.length)).toBeLessThan(9);
  const gaps = found.slice(1).map((timeS, i) => timeS - found[i]!);
  gaps.forEach((gap) => expect(Math.abs(gap - 0.01)).toBeLessThan(1e-4)); // 90 crank degrees at 1500 rpm: 10 ms
});

test('a coil lead gives every cylinder, and no crosstalk can be asked of it', () => {
  const engine = { strokes: 4, cylinders: 6, pickup: 'coil' } as const;
  const { channels, strikes } = simulateWhole(scenario({ engine }));
  expect(strikes.length / (4 * (2000 / 60) * 3)).toBeCloseTo(1, 1); // three a turn
  expectSame(onsets(channels[0]!, 0.2, 0.004), strikes, 1.5 / 48_000);
  const sound = { ...QUIET, crosstalk: { lowest: 0.1, highest: 0.2 } };
  expect(() => simulate(scenario({ engine, sound }))).toThrow(/crosstalk/);
});

test('the crank sensor stands on its own channel, pulse for pulse', () => {
  const sensor = { ...SENSOR, shape: { kind: 'optical', widthS: 100e-6 } as const, missedShare: 0.05 };
  const { channels, pulses } = simulateWhole(scenario({ sensor }));
  expect(channels).toHaveLength(2);
  expect(pulses.some(({ fate }) => fate === 'misfire')).toBe(true);
  expectSame(onsets(channels[1]!, 0.1, 0.005), pulses, 100e-6); // half the height comes half a width before the top
});

test('a delayed sensor is heard later by just so much, and downwards where it is turned', () => {
  const hall = { ...SENSOR, shape: { kind: 'hall', widthS: 300e-6 } as const };
  const plain = simulateWhole(scenario({ sensor: hall }));
  const late = simulateWhole(scenario({ sensor: { ...hall, delayS: 250e-6, inverted: true } }));
  late.pulses.forEach(({ timeS, engineTimeS }, i) => {
    expect(engineTimeS).toBe(plain.pulses[i]!.engineTimeS);
    expect(timeS! - plain.pulses[i]!.timeS!).toBeCloseTo(250e-6, 9);
  });
  const downwards = late.channels[1]!.map((x) => -x);
  expectSame(onsets(downwards, 0.2, 0.005), late.pulses, 1.5 / 48_000); // half of its height of 0.4, to a sample
});

test('extra pulses come in the share of turns asked for, and stand in no truth', () => {
  const sensor = { ...SENSOR, shape: { kind: 'hall', widthS: 150e-6 } as const, extraShare: 0.3 };
  const { channels, pulses } = simulateWhole(scenario({ sensor, seconds: 20 }));
  const extra = onsets(channels[1]!, 0.15, 0.0015).length - pulses.length;
  const share = extra / pulses.length;
  expect(Math.abs(share - 0.3)).toBeLessThan(3 * Math.sqrt((0.3 * 0.7) / pulses.length)); // three sd of a binomial
});

test('ignition leaks into the sensor by its share', () => {
  const sensor = { ...SENSOR, leakShare: 0.2, missedShare: 1 };
  const { channels } = simulateWhole(scenario({ sensor }));
  const most = channels[1]!.reduce((high, x) => Math.max(high, x), 0);
  expect(most).toBeGreaterThan(0.2 * SENSOR.peak * 0.8); // the peak may fall between two samples
  expect(most).toBeLessThan(0.2 * SENSOR.peak * 1.01);
});

test('the advance is to be had from the two channels: sensor to strike, in degrees', () => {
  const { strikes, pulses } = simulateWhole(
    scenario({ sensor: SENSOR, curve: level(25), sparkScatterDeg: 0 }),
  );
  for (const strike of strikes) {
    const pulse = pulses.findLast(({ engineTimeS }) => engineTimeS < strike.engineTimeS);
    if (!pulse) continue;
    const turned = 6 * strike.rpm * (strike.engineTimeS - pulse.engineTimeS); // deg = 6 rpm s
    expect(60 - turned).toBeCloseTo(25, 0); // 0.3 % of wander over 35 degrees
  }
});

test('a sensor alone is the recording of a sensor pick-up, one pulse a turn', () => {
  const engine = { strokes: 4, cylinders: 4, pickup: 'sensor' } as const;
  const { channels, strikes, pulses } = simulateWhole(scenario({ engine, sensor: SENSOR }));
  expect(channels).toHaveLength(1);
  expect(pulses).toHaveLength(0);
  expect(Math.abs(strikes.length - 4 * (2000 / 60))).toBeLessThan(2);
  expect(strikes.every(({ advanceDeg }) => advanceDeg === null)).toBe(true);
  expect(() => simulate(scenario({ engine, sensor: null }))).toThrow(/needs a sensor/);
});

test('a two-stroke’s plug fires on every turn', () => {
  const engine = { strokes: 2, cylinders: 1, pickup: 'plug' } as const;
  const { strikes } = simulateWhole(scenario({ engine, curve: level(18) }));
  expect(Math.abs(strikes.length - 4 * (2000 / 60))).toBeLessThan(2);
});

test('the whine follows the engine’s turns', () => {
  const sound = { ...QUIET, whineShare: 1, peak: 0.01 };
  const profile = {
    corners: [
      { timeS: 0, rpm: 1000 },
      { timeS: 4, rpm: 3000 },
    ],
    wanderShare: 0.02,
  };
  const made = scenario({ sound, profile, bits: null, misfireShare: 1 });
  const turns = turnsReader(profileMotion(profile, 2, createRandom(made.seed, 24)));
  const [samples] = simulateWhole(made).channels;
  // the share of the signal that a sine of 15.6 cycles a turn explains: its amplitude is the whine's own
  let [inPhase, n] = [0, 0];
  samples!.forEach((x, i) => ((inPhase += 2 * x * Math.sin(2 * Math.PI * 15.6 * turns(i / 48_000))), n++));
  expect(inPhase / n / 0.01).toBeCloseTo(1, 2);
});

test('the same scenario gives the same recording; another seed another', () => {
  const made = scenario({ seconds: 1, sound: { ...CLEAN_SOUND, straysPerSecond: 5, lostPerMinute: 60 } });
  expect(simulateWhole(made)).toEqual(simulateWhole(made));
  expect(simulateWhole({ ...made, seed: 2 }).channels[0]).not.toEqual(simulateWhole(made).channels[0]);
});

test('drawn sounds stay inside what inputs and ignitions give', () => {
  for (let seed = 0; seed < 200; seed++) {
    const { shape, kick, amplitudeScatter, acCouplingHz, clockPpm } = drawSound(seed);
    // the ranges of the signal sheet: rise 1-20 us, fall 20-80 us, ringing 2-12 kHz for 0.1-0.6 ms, kick up to 80 %
    expect(shape.riseS).toBeGreaterThanOrEqual(1e-6);
    expect(shape.riseS).toBeLessThanOrEqual(20e-6);
    expect(shape.fallS).toBeGreaterThanOrEqual(20e-6);
    expect(shape.fallS).toBeLessThanOrEqual(80e-6);
    expect(shape.ringHz).toBeGreaterThanOrEqual(2000);
    expect(shape.ringHz).toBeLessThanOrEqual(12_000);
    expect(shape.ringDecayS).toBeGreaterThanOrEqual(0.1e-3);
    expect(shape.ringDecayS).toBeLessThanOrEqual(0.6e-3);
    expect(Math.abs(kick!.share)).toBeLessThanOrEqual(0.8);
    expect(kick!.delayS).toBeGreaterThanOrEqual(0.8e-3);
    expect(kick!.delayS).toBeLessThanOrEqual(2e-3);
    expect(amplitudeScatter).toBeGreaterThanOrEqual(0.05);
    expect(amplitudeScatter).toBeLessThanOrEqual(0.3);
    expect(acCouplingHz).toBeGreaterThanOrEqual(2);
    expect(acCouplingHz).toBeLessThanOrEqual(20);
    expect(Math.abs(clockPpm)).toBeLessThanOrEqual(100);
  }
});

test('the profiles of the presets run as the signal sheet has them', () => {
  const blip = blipProfile(8).corners;
  const up = blip.findIndex(({ rpm }) => rpm === 4500);
  expect(blip[up]!.timeS - blip[up - 1]!.timeS).toBeCloseTo(0.5, 12); // 900 to 4500 rpm in half a second
  expect(blip[up - 1]!.rpm).toBe(900);
  expect(CRANKING_PROFILE.corners[0]!.rpm).toBe(300);
});

test.each(Object.keys(PRESETS))(
  'the preset %s can be made, and its sound stays within full scale',
  (name) => {
    const { channels, strikes } = simulateWhole(PRESETS[name]!.change({ ...PLAIN_SCENARIO, seconds: 3 }));
    expect(channels[0]).toHaveLength(144_000);
    expect(strikes.length).toBeGreaterThan(5);
    for (const samples of channels) expect(samples.every((x) => Math.abs(x) <= 1)).toBe(true);
  },
);

test('a recording of no length has no sound and no truth', () => {
  const { channels, strikes } = simulateWhole(scenario({ seconds: 0 }));
  expect(channels[0]).toHaveLength(0);
  expect(strikes).toHaveLength(0);
});

test('a scenario that cannot be is refused before a sample is made', () => {
  expect(() => simulate(scenario({ seconds: -1 }))).toThrow(/seconds/);
  expect(() => simulate(scenario({ misfireShare: 2 }))).toThrow(/misfires/);
  expect(() => simulate(scenario({ quietStartS: 5 }))).toThrow(/quiet/);
  expect(() => simulate(scenario({ profile: { corners: [], wanderShare: 0 } }))).toThrow(RangeError);
  expect(() => simulate(scenario({ curve: { kind: 'corners', corners: [] } }))).toThrow(/curve/);
  expect(() => simulate(scenario({ sensor: { ...SENSOR, beforeTdcDeg: 400 } }))).toThrow(/sensor/);
  expect(() => simulate(scenario({ sensor: { ...SENSOR, delayS: -1e-6 } }))).toThrow(/delay of the sensor/);
  expect(() => simulate(scenario({ sensor: { ...SENSOR, extraShare: 2 } }))).toThrow(/extra pulse/);
});
