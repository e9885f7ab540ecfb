/** How uneven the cycles are, kept through a corner. Checked against the law of total probability, worked here by hand. */
import { describe, expect, test } from 'vitest';
import { AT_FIRST, UNEVEN_CLASS, UNEVEN_CLASSES } from '../../../dsp/rate/rate-kinds';
import { Unevenness } from '../../../dsp/rate/unevenness';

/** What is known stays so likely, the rest is as at first. */
const KEPT = 0.95;
const telling = (m: number): boolean => UNEVEN_CLASS[m]! >= 0;
const total = (weights: ArrayLike<number>, which: (m: number) => boolean): number =>
  Array.from(weights).reduce((sum, weight, m) => sum + (which(m) ? weight : 0), 0);

/** Weights of all kinds: `share` on those that tell of cycles, all of it in one class. */
function heardOf(uneven: number, share: number): Float64Array {
  const mine = Array.from(UNEVEN_CLASS, (it) => it === uneven);
  const [inside, hiding] = [mine.filter(Boolean).length, UNEVEN_CLASS.filter((it) => it < 0).length];
  return Float64Array.from(AT_FIRST, (_, m) =>
    mine[m] ? share / inside : telling(m) ? 0 : (1 - share) / hiding,
  );
}

describe('unevenness kept through a corner', () => {
  test.each(Array.from({ length: UNEVEN_CLASSES }, (_, uneven) => [uneven]))(
    'after class %i was heard, it has what is kept and its part of the rest; the sum stays',
    (uneven) => {
      const kept = new Unevenness();
      kept.learn(heardOf(uneven, 0.9));
      const weights = Float64Array.from(AT_FIRST);
      kept.weigh(weights);
      const before = total(AT_FIRST, telling);
      expect(total(weights, telling)).toBeCloseTo(before, 12);
      const atFirst = total(AT_FIRST, (m) => UNEVEN_CLASS[m] === uneven) / before;
      expect(total(weights, (m) => UNEVEN_CLASS[m] === uneven) / before).toBeCloseTo(
        KEPT + (1 - KEPT) * atFirst,
        12,
      );
    },
  );

  test('before anything was heard, and where what was heard hides its cycles, nothing is changed', () => {
    const kept = new Unevenness();
    kept.learn(heardOf(0, 0.4));
    const weights = Float64Array.from(AT_FIRST);
    kept.weigh(weights);
    weights.forEach((weight, m) => expect(weight).toBeCloseTo(AT_FIRST[m]!, 12));
  });

  test('kinds that hide their cycles keep their weight', () => {
    const kept = new Unevenness();
    kept.learn(heardOf(UNEVEN_CLASSES - 1, 0.9));
    const weights = Float64Array.from(AT_FIRST);
    kept.weigh(weights);
    weights.forEach((weight, m) => telling(m) || expect(weight).toBe(AT_FIRST[m]));
  });

  test('a copy goes its own way', () => {
    const [one, other] = [new Unevenness(), new Unevenness()];
    one.learn(heardOf(1, 0.9));
    other.copy(one);
    one.learn(heardOf(0, 0.9));
    const weights = Float64Array.from(AT_FIRST);
    other.weigh(weights);
    const before = total(AT_FIRST, telling);
    expect(total(weights, (m) => UNEVEN_CLASS[m] === 1) / before).toBeGreaterThan(KEPT);
  });
});
