/** What strikes may mean that come as if the engine went half or twice as fast, or at another speed all at once. Times by
 * hand. */
import { expect, test } from 'vitest';
import { held, saidRates } from '../../helpers/said-rates';

/** A speed is not shown that is told with a greater deviation, as a share of it. */
const SHOWN = 0.1;

/** The rates said at the strikes that end these intervals, hertz; null where it is not known well enough to be shown. */
const shown = (intervalsS: readonly number[], longestS?: number): (number | null)[] =>
  saidRates(intervalsS, 3, 19, longestS).map(({ rateHz, sdHz }) => (sdHz < SHOWN * rateHz ? rateHz : null));

test.each([50, 200, 2000])(
  'after %d strikes of which none was missing, three missing one by one are no slower engine',
  (count) => {
    const rates = shown([...held(0.05, count), 0.1, 0.1, 0.1, ...held(0.05, 5)]).slice(count);
    for (const rateHz of rates) expect(Math.abs((rateHz ?? 20) / 20 - 1)).toBeLessThan(0.01);
    for (const rateHz of rates.slice(4)) expect(rateHz).not.toBeNull();
  },
);

test.each([2, 3])('on a ramp just begun %d strikes missing one by one are no slower engine', (missing) => {
  const fromHz = 6;
  const gainHzPerS = 2;
  const atS = (n: number): number => (Math.sqrt(fromHz ** 2 + 2 * gainHzPerS * n) - fromHz) / gainHzPerS;
  const strikes = [0, 1, 2, 3];
  for (let k = 0; k < missing; k++) strikes.push(strikes.at(-1)! + 2);
  const times = strikes.map(atS);
  const intervals = times.slice(1).map((timeS, k) => timeS - times[k]!);
  const rates = shown([...held(1 / fromHz, 20), ...intervals], 0.4).slice(20 + 3);
  for (const [k, rateHz] of rates.entries()) {
    const trueHz = fromHz + gainHzPerS * times.at(k - missing)!;
    expect(Math.abs((rateHz ?? trueHz) / trueHz - 1)).toBeLessThan(0.05);
  }
});

test('a beat of which every other strike was missing at first is known for what it is by the first that was not', () => {
  for (const pairs of [2, 3, 5]) {
    const rates = shown([...held(0.1, pairs), ...held(0.05, 4)]);
    for (const rateHz of rates.slice(pairs)) expect(Math.abs(rateHz! / 20 - 1)).toBeLessThan(1e-3);
  }
});

test('a beat that goes on with every other strike missing is taken for half as fast in the end', () => {
  const rates = shown([...held(0.05, 40), ...held(0.1, 12)]);
  expect(Math.abs(rates[rates.length - 1]! / 10 - 1)).toBeLessThan(1e-3);
});

test('a coil lead that was not heard for ten strikes is of no engine a tenth as fast', () => {
  const intervalS = 1 / 600; // eight cylinders at 9000 rpm
  const rates = shown(
    [...held(intervalS, 60), 10.34 * intervalS, 13.9 * intervalS, ...held(intervalS, 6)],
    0.075,
  );
  for (const rateHz of rates.slice(60)) expect(Math.abs((rateHz ?? 600) / 600 - 1)).toBeLessThan(0.1);
  expect(Math.abs(rates[rates.length - 1]! / 600 - 1)).toBeLessThan(0.01);
});

test.each([
  ['anywhere', [0.037, 0.063], 8],
  ['just halfway', [0.05, 0.05], 8],
  // of fewer strikes before, they are as well every other one of an engine twice as fast
  ['just halfway after one that was missing', [0.15, 0.05], 12],
] as const)('a strike that is none, %s, is of no engine twice as fast', (_where, betweenS, fewest) => {
  for (const count of [fewest, 16, 40, 200]) {
    const rates = shown([...held(0.1, count), ...betweenS, ...held(0.1, 8)]).slice(count);
    for (const rateHz of rates) expect(Math.abs((rateHz ?? 10) / 10 - 1)).toBeLessThan(0.01);
    for (const rateHz of rates.slice(5)) expect(rateHz).not.toBeNull();
  }
});

test('what was taken for half as fast is known for what it is once no strike is missing', () => {
  const rates = shown([...held(0.05, 40), ...held(0.1, 16), ...held(0.05, 8)]);
  for (const rateHz of rates.slice(-5)) expect(Math.abs((rateHz ?? 0) / 20 - 1)).toBeLessThan(0.01);
});

test.each([8, 14, 20, 40, 200])(
  'a beat that was followed at half its speed for %d strikes is told as it is after four that are not',
  (count) => {
    for (const intervalS of [0.1, 0.02]) {
      const rates = shown([...held(intervalS, count), ...held(intervalS / 2, 16)]).slice(count + 4);
      for (const rateHz of rates.slice(2))
        expect(Math.abs((rateHz ?? 0) * (intervalS / 2) - 1)).toBeLessThan(0.01);
    }
  },
);
