/** Pulses of a crank sensor counted in turns, on signals written down here sample by sample. */
import { expect, test } from 'vitest';
import { createReferenceChain } from '../../../dsp/reference/reference-chain';
import { createRandom } from '../../../dsp/maker/random';

const RATE_HZ = 48_000;
const TURN_S = 0.015;
const SD_S = 40e-6;

/** Bell-shaped pulses with tops at whole turns, but for some. */
function pulses(turns: number, missing: ReadonlySet<number>): Float32Array {
  const random = createRandom(5, 1);
  const samples = Float32Array.from({ length: Math.ceil((turns + 2) * TURN_S * RATE_HZ) }, () => {
    return 0.4 * 10 ** (-35 / 20) * random.normal();
  });
  for (let turn = 1; turn <= turns; turn++) {
    if (missing.has(turn)) continue;
    const middle = Math.round(turn * TURN_S * RATE_HZ);
    for (let n = middle - 20; n <= middle + 20; n++)
      samples[n]! += 0.4 * Math.exp(-0.5 * ((n / RATE_HZ - turn * TURN_S) / SD_S) ** 2);
  }
  return samples;
}

function heard(sensor: Float32Array, block: number): { timeS: number; turns: number }[] {
  const found: { timeS: number; turns: number }[] = [];
  const options = { sampleRateHz: RATE_HZ, lowestRateHz: 2, highestRateHz: 200 };
  const chain = createReferenceChain(options, ({ timeS, turns }) => found.push({ timeS, turns }));
  for (let at = 0; at < sensor.length; at += block) {
    const part = sensor.subarray(at, at + block);
    chain.push(new Float32Array(part.length), part);
  }
  chain.finish();
  return found;
}

test.each([
  ['one', [100]],
  ['two, one turn between them', [100, 102]],
  ['three, one turn between each', [100, 102, 104]],
  ['two in a row', [100, 101]],
])('turns are counted right where pulses are missing: %s', (_, missing) => {
  const found = heard(pulses(200, new Set(missing)), 4096);
  const turnOf = (timeS: number): number => Math.round(timeS / TURN_S);
  expect(found.length).toBeGreaterThan(190);
  found.forEach(({ timeS, turns }, i) => {
    if (i > 0) expect([i, turns]).toEqual([i, turnOf(timeS) - turnOf(found[i - 1]!.timeS)]);
  });
});

test('the same pulses come out whatever the block size, each where half its height is passed', () => {
  const sensor = pulses(60, new Set());
  const [small, large] = [heard(sensor, 97), heard(sensor, 8192)];
  expect(small).toEqual(large);
  const halfS = SD_S * Math.sqrt(2 * Math.LN2); // a Gaussian's half width at half height
  const errors = small.map(({ timeS }) => timeS - Math.round(timeS / TURN_S) * TURN_S + halfS);
  const mean = errors.reduce((sum, each) => sum + each, 0) / errors.length;
  expect(Math.abs(mean)).toBeLessThan(1e-6);
});

test('what stands between two pulses is found again, and nothing where none stands', () => {
  const sensor = pulses(40, new Set([20]));
  const options = { sampleRateHz: RATE_HZ, lowestRateHz: 2, highestRateHz: 200 };
  const timesS: number[] = [];
  const chain = createReferenceChain(options, ({ timeS }) => timesS.push(timeS));
  chain.push(new Float32Array(sensor.length), sensor);
  chain.finish();
  const pulseAt = (turn: number): number => timesS.find((timeS) => Math.round(timeS / TURN_S) === turn)!;
  const between = (from: number, until: number, least = 0.2): number[] =>
    chain.standing(pulseAt(from), pulseAt(until), least).map(({ timeS }) => timeS);
  const found = between(25, 28);
  expect(found).toHaveLength(2);
  expect(Math.abs(found[0]! - pulseAt(26))).toBeLessThan(1e-6);
  expect(Math.abs(found[1]! - pulseAt(27))).toBeLessThan(1e-6);
  expect(between(19, 21)).toEqual([]);
  expect(between(25, 26)).toEqual([]);
  expect(between(25, 28, 0.5)).toEqual([]); // taller than they are
  expect(chain.standing(-10, -9, 0.2)).toEqual([]); // before the first sample
});

test('a silent channel gives no pulse', () => {
  expect(heard(new Float32Array(RATE_HZ), 4096)).toEqual([]);
});
