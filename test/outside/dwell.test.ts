/** Dwell read back from sound that is drawn here by hand, sample by sample, with nothing of the project's own maker.
 * Common practice: a six has 60 distributor degrees from spark to spark; points closed for 36 of them have 60 % dwell. */
import { expect, test } from 'vitest';
import { createDecoder } from '../../core/decode';

const RATE_HZ = 48_000;
/** A small linear congruence: the same noise each time [constants of Numerical Recipes, from memory]. */
let word = 12_345;
const noise = (): number => (word = (Math.imul(word, 1_664_525) + 1_013_904_223) >>> 0) / 2 ** 31 - 1;

/** Intervals shrink from 20 ms (1000 rpm of a six) by 0.2 % each: exact instants, no engine model. */
function drawn(closesAfter: number | null): Float32Array {
  const samples = Float32Array.from({ length: 5 * RATE_HZ }, () => 0.008 * noise());
  const add = (atS: number, peak: number, fallS: number): void => {
    for (let n = Math.ceil(atS * RATE_HZ); n < Math.min(samples.length, (atS + 12 * fallS) * RATE_HZ); n++)
      samples[n]! += peak * Math.exp(-(n / RATE_HZ - atS) / fallS);
  };
  let intervalS = 0.02;
  for (let atS = 0.05; atS < 4.95; atS += intervalS, intervalS *= 0.998) {
    add(atS, 0.5, 40e-6);
    add(atS + 1.4e-3, -0.15, 40e-6); // the spark goes out: a time, whatever the speed
    if (closesAfter !== null) add(atS + closesAfter * intervalS, -0.08, 150e-6);
  }
  return samples;
}
function decoded(samples: Float32Array): ReturnType<ReturnType<typeof createDecoder>['dwell']> {
  const engine = { strokes: 4, cylinders: 6, pickup: 'coil' } as const;
  const decoder = createDecoder({ sampleRateHz: RATE_HZ, engine }, {});
  decoder.push(samples);
  decoder.finish();
  return decoder.dwell();
}

test('points that close 24 degrees after they open, of 60, are read as 36 degrees and 60 % of dwell', () => {
  const { dwell } = decoded(drawn(24 / 60))!;
  expect(Math.abs(dwell!.deg - 36)).toBeLessThan(Math.min(0.5, 4 * dwell!.degSd));
  expect(Math.abs(dwell!.percent - 60)).toBeLessThan(0.8);
});
test('the same sound without their closing has no dwell', () => {
  expect(decoded(drawn(null))!.dwell).toBeNull();
});
