/** Forecast bands against the true curves of distributors that were simulated part by part: springs and stops that no
 * reading has seen. CLAMPLINE_FORECAST_TRIALS=500 tries so many of each kind and prints the table; without it two of
 * each, judged together. */
import { afterAll, describe, expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import type { Figure } from '../../../core/fit';
import type { Hold } from '../../../core/forecast/drawn';
import { forecast, type Forecast } from '../../../core/forecast/forecast';
import { mechanismPosterior } from '../../../core/forecast/posterior';
import {
  simulatedDistributor,
  takenReadings,
  trueAdvance,
  trueAllInRpm,
  trueStartRpm,
  type PartsChange,
  type ReadingOptions,
  type SimulatedDistributor,
  type SimulationOptions,
} from '../../helpers/simulated-mechanism';

const MORE = Number(process.env['CLAMPLINE_FORECAST_TRIALS'] ?? 0);
const FIRST_SEED = Number(process.env['CLAMPLINE_FORECAST_FIRST'] ?? 3000);
const FIGURES = ['initialDeg', 'startRpm', 'allInRpm', 'totalDeg'] as const;
type Name = (typeof FIGURES)[number];

interface Kind {
  readonly name: string;
  readonly made: SimulationOptions;
  readonly taken: ReadingOptions;
}
/** Scatter 0.8 degrees throughout. */
const KINDS: readonly Kind[] = [
  { name: '12 to 16 readings, friction up to 4 %', made: {}, taken: {} },
  { name: 'no friction', made: { mostFriction: 0 }, taken: {} },
  { name: 'up and down in turn', made: { mostFriction: 0.06 }, taken: { sweep: 'both' } },
  { name: 'a second spring always', made: { second: 'always' }, taken: {} },
  { name: 'a second spring never', made: { second: 'never' }, taken: {} },
  { name: 'noted to half a degree', made: {}, taken: { roundDeg: 0.5 } },
  { name: 'noted to a degree', made: {}, taken: { roundDeg: 1 } },
  { name: 'noted to two degrees', made: {}, taken: { roundDeg: 2 } },
  { name: '8 readings', made: {}, taken: { count: 8 } },
  { name: '30 readings', made: {}, taken: { count: 30 } },
  { name: 'the lowest speed just above the start', made: {}, taken: { aboveStartRpm: 60 } },
];

/** What is asked for: springs, each or both, a stop from 0.6 to 1.3 of the range, or springs and stop. */
function askedFor(
  d: SimulatedDistributor,
  seed: number,
): { change: PartsChange; newStop: boolean; hold: Hold } {
  const random = createRandom(seed, 6011);
  const kind = Math.floor(5 * random.uniform());
  const factor = (): number => Math.exp(random.between(Math.log(0.6), Math.log(1.6)));
  const first = kind === 2 ? 1 : factor();
  const second = kind === 1 || kind === 4 ? factor() : first;
  const newStop = kind >= 2;
  const rangeDeg = newStop ? d.rangeDeg * random.between(0.6, 1.3) : d.rangeDeg;
  return { change: { first, second, rangeDeg }, newStop, hold: random.uniform() < 0.7 ? 'total' : 'initial' };
}

interface Tally {
  inside: number;
  of: number;
  width: number;
}
interface Score {
  readonly points: Tally;
  readonly whole: Tally;
  readonly figures: Readonly<Record<Name, Tally>>;
}
const nothing = (): Tally => ({ inside: 0, of: 0, width: 0 });
const emptyScore = (): Score => ({
  points: nothing(),
  whole: nothing(),
  figures: { initialDeg: nothing(), startRpm: nothing(), allInRpm: nothing(), totalDeg: nothing() },
});

function count(tally: Tally, { low, high }: Pick<Figure, 'low' | 'high'>, truth: number): boolean {
  const inside = low - 1e-9 <= truth && truth <= high + 1e-9;
  tally.of++;
  tally.width += high - low;
  if (inside) tally.inside++;
  return inside;
}

function forecastOf(
  d: SimulatedDistributor,
  seed: number,
  { taken }: Kind,
): { made: Forecast; truth: TrueCurve } {
  const { change, newStop, hold } = askedFor(d, seed);
  const parts = { firstSpring: 'first', secondSpring: 'second', stop: 'stop' };
  const posterior = mechanismPosterior([{ points: takenReadings(d, seed, taken), parts }]);
  const sure = { factorSd: 0, restSd: 0 };
  const made = forecast(
    posterior,
    {
      firstSpring: { like: 'first', factor: change.first, ...sure },
      secondSpring: { like: 'second', factor: change.second, ...sure },
      stop: newStop ? { rangeDeg: change.rangeDeg } : { like: 'stop' },
    },
    hold,
  );
  const initialDeg = hold === 'total' ? d.initialDeg + d.rangeDeg - change.rangeDeg : d.initialDeg;
  return {
    made,
    truth: {
      initialDeg,
      startRpm: trueStartRpm(d, change),
      allInRpm: trueAllInRpm(d, change),
      totalDeg: initialDeg + change.rangeDeg,
      at: (rpm) => initialDeg + trueAdvance(d, change, rpm),
    },
  };
}
type TrueCurve = Readonly<Record<Name, number>> & { readonly at: (rpm: number) => number };

function tryOne(score: Score, kind: Kind, seed: number): void {
  const { made, truth } = forecastOf(simulatedDistributor(seed, kind.made), seed, kind);
  for (const name of FIGURES) {
    const figure = made[name];
    if (figure) count(score.figures[name], figure, truth[name]);
  }
  let all = true;
  for (const row of made.curve) {
    if (row.rpm > truth.allInRpm + 500) continue;
    const inside = count(score.points, row, truth.at(row.rpm));
    all &&= inside;
  }
  score.whole.of++;
  if (all) score.whole.inside++;
}

const share = ({ inside, of }: Tally): number => inside / of;
const percent = (tally: Tally): string => `${(100 * share(tally)).toFixed(1)} %`;
const rows: { readonly name: string; readonly score: Score }[] = [];

afterAll(() => {
  const lines = rows.map(({ name, score }) => {
    const figures = FIGURES.map((figure) => {
      const tally = score.figures[figure];
      return `${figure} ${percent(tally)} of ${tally.of}, width ${(tally.width / tally.of).toFixed(1)}`;
    });
    const { points, whole } = score;
    return `${name}: ${whole.of} trials, curve ${percent(points)}, mean width ${(points.width / points.of).toFixed(2)} deg, all of it ${percent(whole)}; ${figures.join('; ')}`;
  });
  console.info(lines.join('\n'));
});

describe('95 % bands of forecasts for parts that were not read', { timeout: 3_600_000 }, () => {
  test.each(KINDS)('hold the true curve in 90 to 98 % of places: $name', (kind) => {
    const score = emptyScore();
    for (let i = 0; i < (MORE || 2); i++) tryOne(score, kind, FIRST_SEED + i);
    rows.push({ name: kind.name, score });
    expect(score.points.of).toBeGreaterThan(40 * (MORE || 2)); // every trial has its whole curve
    if (MORE < 200) return; // too few to tell 90 % from 98 %: judged together below
    expect(share(score.points)).toBeGreaterThanOrEqual(0.9);
    expect(share(score.points)).toBeLessThanOrEqual(0.98);
  });

  test('hold it nearly always over all kinds together, and are no wider than readings of 0.8 degrees leave them', () => {
    const points = rows.map(({ score }) => score.points);
    const sum = (of: (tally: Tally) => number): number => points.reduce((all, tally) => all + of(tally), 0);
    expect(sum((tally) => tally.inside) / sum((tally) => tally.of)).toBeGreaterThan(MORE ? 0.9 : 0.82);
    // A straight line's worth of figures from 14 readings has a standard error near 0.8 · √(6/14) = 0.5 degrees, so an
    // interval of 2 where all is measured; 3.5 with stops beyond what was read among them.
    expect(sum((tally) => tally.width) / sum((tally) => tally.of)).toBeLessThan(MORE ? 4 : 5);
  });
});
