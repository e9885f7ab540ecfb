/** The rate and its deviation, causal and smoothed, on trains of known speed. CLAMPLINE_TABLE_SEEDS draws more of each. */
import { afterAll, describe, expect, test } from 'vitest';
import { EdgeFollower } from '../../../dsp/edge-follower';
import { createRandom } from '../../../dsp/maker/random';
import { RUNNINGS, strikeTrain, TRAIN_RATES, type RunningName } from '../../helpers/strike-trains';

const SEEDS = Number(process.env['CLAMPLINE_TABLE_SEEDS'] ?? 8);

interface Estimate {
  readonly error: number;
  readonly deviations: number;
}
interface Row {
  readonly name: string;
  readonly causal: Estimate[];
  readonly smoothed: Estimate[];
  /** Causal errors at the second strike after a corner, and from the third on. */
  readonly second: number[];
  readonly later: number[];
  slips: number;
  slippedS: number;
  losses: number;
  lostS: number;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, each) => sum + each, 0) / values.length;
const rms = (all: readonly Estimate[]): number => Math.sqrt(mean(all.map(({ error }) => error ** 2)));
const variance = (all: readonly Estimate[]): number => mean(all.map(({ deviations }) => deviations ** 2));
const within2 = (all: readonly Estimate[]): number =>
  mean(all.map(({ deviations }) => (Math.abs(deviations) < 2 ? 1 : 0)));
const worst = (errors: readonly number[]): number =>
  errors.reduce((top, each) => Math.max(top, Math.abs(each)), 0);

function run(name: RunningName, seed: number, row: Row): void {
  const train = strikeTrain(name, seed);
  const height = createRandom(seed, 5);
  const at = new Map(train.timesS.map((timeS, i) => [timeS, i]));
  const note = (timeS: number, rateHz: number, sdHz: number): { i: number; estimate: Estimate } => {
    const i = at.get(timeS)!;
    const off = rateHz - train.ratesHz[i]!;
    return { i, estimate: { error: off / train.ratesHz[i]!, deviations: off / sdHz } };
  };
  const follower = new EdgeFollower(
    { ...TRAIN_RATES, repeatShare: 20 / 720 },
    ({ timeS, rateHz, rateSdHz }) => {
      if (rateHz === null) return;
      const { i, estimate } = note(timeS, rateHz, rateSdHz!);
      if (train.sinceCorner[i]! > 1) row.causal.push(estimate);
      if (train.sinceCorner[i]! === 2) row.second.push(estimate.error);
      if (train.sinceCorner[i]! > 2) row.later.push(estimate.error);
    },
    {
      lagS: Infinity,
      onSmoothed: ({ timeS, rateHz, rateSdHz }) => {
        const { i, estimate } = note(timeS, rateHz, rateSdHz);
        if (train.sinceCorner[i]! > 1) row.smoothed.push(estimate);
      },
    },
  );
  for (const timeS of train.timesS) {
    follower.follow(timeS);
    follower.push(timeS, train.timeSdS, 0.3 * Math.exp(0.1 * height.normal()));
  }
  follower.finish(train.timesS[train.timesS.length - 1]! + 0.1);
  row.slips += follower.slips;
  row.slippedS += follower.slippedS;
  row.losses += train.lostS.length;
  row.lostS += train.lostS.reduce((sum, each) => sum + each, 0);
}

const HEAD =
  'running                     strikes  causal: rms %  error variance  within 2 sd  worst %  smoothed: rms %  error variance  within 2 sd  ratio of rms\n' +
  '                                                    by the one said                                        by the one said';
const line = ({ name, causal, smoothed, later }: Row): string =>
  [
    name.padEnd(27),
    String(causal.length).padStart(7),
    (100 * rms(causal)).toFixed(4).padStart(14),
    variance(causal).toFixed(2).padStart(15),
    within2(causal).toFixed(3).padStart(12),
    (100 * worst(later)).toFixed(1).padStart(8),
    (100 * rms(smoothed)).toFixed(4).padStart(16),
    variance(smoothed).toFixed(2).padStart(15),
    within2(smoothed).toFixed(3).padStart(12),
    (rms(smoothed) / rms(causal)).toFixed(2).padStart(13),
  ].join(' ');

/** Where every cycle differs the speed at an instant cannot be known to 5 %, and a blip's corner not at once. */
const ROUGH: readonly RunningName[] = ['rough idle, 8 %'];
const names = Object.keys(RUNNINGS) as RunningName[];

describe('the rate at each strike, against the true one', () => {
  const rows: Row[] = [];
  afterAll(() => console.log([HEAD, ...rows.map(line)].join('\n')));

  test.each(names)('%s: errors are as large as said, and smaller once what came after is known', (name) => {
    const row: Row = {
      name,
      causal: [],
      smoothed: [],
      second: [],
      later: [],
      slips: 0,
      slippedS: 0,
      losses: 0,
      lostS: 0,
    };
    rows.push(row);
    for (let seed = 1; seed <= SEEDS; seed++) run(name, seed, row);
    // Normalised errors have unit variance [Bar-Shalom, Li & Kirubarajan 2001, section 5.4, from memory]; a change that
    // began since the last strike is unknown to any filter, so the first strike after a corner is left out. Few seeds
    // leave it to chance by a half either way, since errors at neighbouring strikes are much the same.
    for (const estimates of [row.causal, row.smoothed]) {
      expect(variance(estimates)).toBeGreaterThan(0.35);
      expect(variance(estimates)).toBeLessThan(1.8);
      expect(within2(estimates)).toBeGreaterThan(0.9);
    }
    expect(rms(row.smoothed)).toBeLessThan(0.9 * rms(row.causal));
    if (!ROUGH.includes(name)) expect(worst(row.later)).toBeLessThan(0.06);
    // two strikes into a ramp, where it began and how steep it is are known, but where it began just before the first
    const off = row.second.filter((error) => Math.abs(error) > 0.05).length;
    if (name === 'blip') expect(off / row.second.length).toBeLessThan(0.1);
    // each lost block slips the beat, but those of a whole number of intervals
    if (name === 'lost blocks') expect(row.slips / row.losses).toBeGreaterThan(0.9);
    // a blip that begins just before a strike looks like lost sound for a moment
    else expect(row.slips).toBeLessThan(0.5 * SEEDS);
    expect(row.slippedS).toBeLessThanOrEqual(row.lostS + 0.1 * SEEDS);
  });
});
