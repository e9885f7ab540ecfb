/** Speed of a coil lead, whose strikes are several leads' in turn: errors are as large as said, on the screen and in the
 * saved trace. The first strike after a corner of the speed is left out with all that are as far off: what began since the
 * strike before is unknown. */
import { expect, test } from 'vitest';
import { runDecoder } from '../helpers/run-decoder';
import { scoreStrikes } from '../helpers/score-strikes';
import { HARDER_KINDS } from '../helpers/signal-kinds';

const SEEDS = [60, 61, 62, 63];
const BESIDE_CORNERS = 0.02;

const mean = (values: readonly number[]): number =>
  values.reduce((sum, each) => sum + each, 0) / values.length;
const butLargest = (squares: readonly number[]): number[] =>
  [...squares].sort((a, b) => a - b).slice(0, Math.floor((1 - BESIDE_CORNERS) * squares.length));

test.each(['coil lead, 8 cylinders', 'coil lead, 4 cylinders, 10 000 rpm'])('%s', (name) => {
  const { scenario } = HARDER_KINDS.find((kind) => kind.name === name)!;
  for (const speeds of ['screen', 'trace'] as const) {
    const squares = SEEDS.flatMap((seed) => {
      const { found, truth } = runDecoder(scenario(seed, 48_000), speeds);
      return [...scoreStrikes(found, truth).squaredErrors];
    });
    // normalised errors have unit variance [Bar-Shalom, Li & Kirubarajan 2001, section 5.4, from memory]
    expect(mean(butLargest(squares))).toBeGreaterThan(0.4);
    expect(mean(butLargest(squares))).toBeLessThan(1.8);
  }
});
