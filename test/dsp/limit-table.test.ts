/** How near to what is possible the chain stands on hard signals: strikes found, accepted ones true, scatter of their
 * times by the least there can be, worst speed. CLAMPLINE_TABLE_SEEDS=20 draws as many seeds of each kind at each rate;
 * without it each kind is drawn three times at one rate, the rates in turn. */
import { afterAll, describe, expect, test } from 'vitest';
import { leadsHeard, scoreScenario } from '../helpers/score-scenario';
import type { Score } from '../helpers/score-strikes';
import { HARDER_KINDS, KINDS, type Kind } from '../helpers/signal-kinds';
import { scenarioBoundS } from '../helpers/timing-bound';

const MORE = Number(process.env['CLAMPLINE_TABLE_SEEDS'] ?? 0);
/** The middle of three: one draw alone may be timed a third worse by chance. */
const USUAL_SEEDS = 3;
const FIRST_SEED = Number(process.env['CLAMPLINE_TABLE_FIRST'] ?? 0);
const RATES = [44_100, 48_000, 96_000] as const;

/** What a kind must hold: shares found and true, and scatter by the bound (median over seeds and rates); on a coil lead
 * about each lead's own middle. */
interface Limit {
  readonly kind: string;
  readonly found: number;
  /** Share true, where that is not the share found or 0.99, whichever is more. */
  readonly right?: number;
  readonly scatter: number;
}
const LIMITS: readonly Limit[] = [
  { kind: 'clean', found: 0.999, scatter: 1.15 },
  { kind: 'hum', found: 0.999, scatter: 1.15 },
  { kind: 'whine', found: 0.999, scatter: 1.4 },
  { kind: 'inverted', found: 0.999, scatter: 1.15 },
  { kind: '0.01 of full scale', found: 0.999, scatter: 1.15 },
  { kind: 'noise at 18 dB', found: 0.99, scatter: 1.2 },
  { kind: 'noise at 12 dB', found: 0.99, scatter: 1.2 }, // with strikes that scatter by up to 30 % besides
  { kind: 'crosstalk 62 %', found: 0.99, scatter: 1.3 },
  { kind: 'kick 80 %', found: 0.99, scatter: 1.3 },
  { kind: 'repeated strikes', found: 0.99, scatter: 1.3 },
  { kind: 'all together', found: 0.99, scatter: 1.3 },
  { kind: 'gain control, 16 dB', found: 0.99, scatter: 2.2 },
  { kind: 'blip', found: 0.99, scatter: 1.5 },
  { kind: 'limiter for half a second', found: 0.99, scatter: 1.5 },
  { kind: 'limiter', found: 0.99, scatter: 1.5 }, // from here on one or two strikes at a time between long cuts
  { kind: 'limiter from the start', found: 0.99, scatter: 1.5 },
  { kind: 'cranking', found: 0.99, scatter: 1.5 },
  { kind: 'just started', found: 0.99, scatter: 1.5 },
  { kind: 'lost blocks', found: 0.99, scatter: 1.5 },
  { kind: 'coil lead, odd fire', found: 0.99, scatter: 1.3 },
  { kind: 'clipped', found: 0.99, scatter: 2.2 }, // by the bound of the samples that were not cut off
  { kind: 'coil lead, odd fire, misfires', found: 0.99, scatter: 1.3 },
  { kind: 'noise at 12 dB, misfires', found: 0.98, right: 0.98, scatter: 1.2 }, // noise may stand where none came
];

interface Row extends Limit {
  readonly scores: Score[];
  readonly scatters: number[];
}

/** Leads of one coil may be timed apart by so much: 0.05 crank degrees at 8000 rpm. What their rise differs by below one
 * sample, up to 0.7 us from the first to the last of six, the input's filter hides. */
const LEADS_APART_S = 1e-6;

const sum = (values: readonly number[]): number => values.reduce((total, each) => total + each, 0);
const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? NaN;
const foundShare = ({ scores }: Row): number =>
  sum(scores.map((s) => s.matched)) / sum(scores.map((s) => s.trueStrikes));
const trueShare = ({ scores }: Row): number =>
  sum(scores.map((s) => s.matched)) / sum(scores.map((s) => s.accepted));

function line(row: Row): string {
  const errors = row.scores.flatMap((s) => s.speedErrors.map(Math.abs));
  return [
    row.kind.padEnd(22),
    String(row.scores.length).padStart(4),
    ...[foundShare(row), trueShare(row)].map((share) => (100 * share).toFixed(2).padStart(7)),
    middle(row.scatters).toFixed(2).padStart(9),
    Math.max(...row.scatters)
      .toFixed(2)
      .padStart(7),
    (100 * middle(errors)).toFixed(3).padStart(8),
    (100 * Math.max(...errors)).toFixed(1).padStart(6),
  ].join(' ');
}
const HEAD = 'kind                   runs found % true %   scatter by bound  speed error %\n'.concat(
  '                                           middle   worst   middle  worst',
);

const kindOf = (name: string): Kind => [...KINDS, ...HARDER_KINDS].find((kind) => kind.name === name)!;

describe('the limit of what strikes can tell', () => {
  const rows: Row[] = [];
  afterAll(() => console.log([HEAD, ...rows.map(line)].join('\n')));

  test.each(LIMITS)(
    '$kind: strikes are found and timed',
    (limit) => {
      const row: Row = { ...limit, scores: [], scatters: [] };
      rows.push(row);
      for (const rateHz of MORE ? RATES : [RATES[LIMITS.indexOf(limit) % RATES.length]!])
        for (let seed = FIRST_SEED; seed < FIRST_SEED + (MORE || USUAL_SEEDS); seed++) {
          const made = kindOf(limit.kind).scenario(seed, rateHz);
          const score = scoreScenario(made);
          row.scores.push(score);
          row.scatters.push(
            (leadsHeard(made) > 1 ? score.leadScatterS : score.scatterS) / scenarioBoundS(made)!,
          );
        }
      expect(foundShare(row)).toBeGreaterThanOrEqual(limit.found);
      expect(trueShare(row)).toBeGreaterThanOrEqual(limit.right ?? Math.max(0.99, limit.found));
      expect(middle(row.scatters)).toBeLessThan(limit.scatter);
      expect(middle(row.scores.map((s) => s.leadsApartS))).toBeLessThan(LEADS_APART_S);
    },
    600_000,
  );
});
