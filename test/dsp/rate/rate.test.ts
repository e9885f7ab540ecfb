/** The rate and its deviation, causal and smoothed, on trains of known speed: that at the moment which each time tells.
 * CLAMPLINE_TABLE_SEEDS draws more of each, from CLAMPLINE_TABLE_FIRST on. */
import { afterAll, describe, expect, test } from 'vitest';
import { EdgeFollower } from '../../../dsp/edge-follower';
import { createRandom } from '../../../dsp/maker/random';
import { RUNNINGS, strikeTrain, TRAIN_RATES, type RunningName } from '../../helpers/strike-trains';

const SEEDS = Number(process.env['CLAMPLINE_TABLE_SEEDS'] ?? 8);
const FIRST_SEED = Number(process.env['CLAMPLINE_TABLE_FIRST'] ?? 1);
/** Where strikes scatter only, a held speed is known to a hundred-thousandth within seconds, and errors at neighbouring
 * strikes are much the same: so many seeds tell their variance to a fifth. */
const MANY_SEEDS = 100;
/** Two or three intervals of an engine whose cycles differ may be alike by chance: the first strikes are told with more than
 * others need, and yet some errors are greater. */
const EARLY = 6;
const MOST_EARLY = 4;
/** Below this, revolutions a minute. */
const SLOW_RPM = 1500;
const RPM_PER_HZ = 120;

interface Estimate {
  readonly error: number;
  readonly deviations: number;
  readonly rpm: number;
  /** Of the beat's first strikes. */
  readonly isEarly: boolean;
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
/** Those of which the speed is shown: said with a deviation of a tenth at the most. */
const shown = (all: readonly Estimate[]): number[] =>
  all.filter(({ error, deviations }) => error === 0 || error / deviations < 0.1).map(({ error }) => error);
const worst = (errors: readonly number[]): number =>
  errors.reduce((top, each) => Math.max(top, Math.abs(each)), 0);

function run(name: RunningName, seed: number, row: Row): void {
  const train = strikeTrain(name, seed);
  const height = createRandom(seed, 5);
  const at = new Map(train.timesS.map((timeS, i) => [timeS, i]));
  const note = (timeS: number, rateHz: number, sdHz: number): { i: number; estimate: Estimate } => {
    const i = at.get(timeS)!;
    const rateTrueHz = train.ratesHz[i]!;
    const off = rateHz - rateTrueHz;
    return {
      i,
      estimate: {
        error: off / rateTrueHz,
        deviations: off / sdHz,
        rpm: RPM_PER_HZ * rateTrueHz,
        isEarly: i < EARLY,
      },
    };
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

const followed = (all: readonly Estimate[]): Estimate[] => all.filter(({ isEarly }) => !isEarly);
const slow = (all: readonly Estimate[]): Estimate[] => followed(all).filter(({ rpm }) => rpm < SLOW_RPM);
const fast = (all: readonly Estimate[]): Estimate[] => followed(all).filter(({ rpm }) => rpm >= SLOW_RPM);

const HEAD =
  'running                    strikes  causal: error variance by the one said   within  worst    rms      smoothed: error variance by the one said  within    rms      ratio\n' +
  '                                       all   early   slow   fast   2 sd      %        %          all   early   slow   fast   2 sd      %      of rms';
const columns = (all: readonly Estimate[]): string =>
  [
    ...[followed(all), all.filter(({ isEarly }) => isEarly), slow(all), fast(all)].map((some) =>
      (some.length === 0 ? '-' : variance(some).toFixed(2)).padStart(7),
    ),
    within2(all).toFixed(3).padStart(7),
  ].join('');
const line = ({ name, causal, smoothed, later }: Row): string =>
  [
    name.padEnd(26),
    String(causal.length).padStart(8),
    '  ',
    columns(causal),
    (100 * worst(later)).toFixed(1).padStart(8),
    (100 * rms(causal)).toFixed(4).padStart(9),
    '   ',
    columns(smoothed),
    (100 * rms(smoothed)).toFixed(4).padStart(9),
    (rms(smoothed) / rms(causal)).toFixed(2).padStart(7),
  ].join('');

/** Where every cycle differs the speed at an instant cannot be known to 5 %. */
const ROUGH: readonly RunningName[] = ['rough idle, 8 %'];
const BESIDE_CORNERS: readonly RunningName[] = ['sweep, cycles 0.5 %', 'blip, cycles 0.5 %'];

/** What the variance of errors by the one said may be, causal and smoothed, over many seeds. True is 0.8 to 1.25, a tenth
 * more either way for what so many seeds leave to chance. */
type Range = readonly [number, number];
const TRUE: Range = [0.72, 1.38];
const LIMITS: Partial<Record<RunningName, { readonly causal: Range; readonly smoothed: Range }>> = {
  // as smooth as no engine runs: that its change wanders a little, as an engine's does, a hundred strikes do not rule out
  'hunting by 0.3 %': { causal: TRUE, smoothed: [0.45, 1.38] },
  sweep: { causal: [0.65, 1.38], smoothed: TRUE },
  blip: { causal: [0.5, 1.38], smoothed: [0.5, 1.38] },
  // a cycle's own speed and the corner beside it are told apart some strikes later
  'blip, cycles 0.5 %': { causal: [0.6, 1.38], smoothed: TRUE },
};
/** The same for few seeds: by a half more either way left to chance. */
const FEW = 1.5;

function expectTrue(estimates: readonly Estimate[], [least, most]: Range): void {
  const chance = SEEDS < MANY_SEEDS ? FEW : 1;
  expect(variance(followed(estimates))).toBeGreaterThan(least / chance);
  expect(variance(followed(estimates))).toBeLessThan(most * chance);
  expect(within2(followed(estimates))).toBeGreaterThan(0.85);
}

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
    for (let seed = FIRST_SEED; seed < FIRST_SEED + SEEDS; seed++) run(name, seed, row);
    // Normalised errors have unit variance [Bar-Shalom, Li & Kirubarajan 2001, section 5.4, from memory]; a change that
    // began since the last strike is unknown to any filter, so the first strike after a corner is left out.
    const limits = LIMITS[name] ?? { causal: TRUE, smoothed: TRUE };
    expectTrue(row.causal, limits.causal);
    expectTrue(row.smoothed, limits.smoothed);
    // one in two thousand engines that misfire so often does so at each of its first three intervals
    if (SEEDS >= MANY_SEEDS && name !== 'misfires 8 %')
      expect(variance(row.causal.filter(({ isEarly }) => isEarly))).toBeLessThan(MOST_EARLY);
    // never half or twice the true speed, nor near it
    for (const estimates of [row.causal, row.smoothed])
      expect(worst(shown(followed(estimates)))).toBeLessThan(0.2);
    // of a few seeds one strike beside a corner may outweigh all others
    if (SEEDS >= MANY_SEEDS || !BESIDE_CORNERS.includes(name))
      expect(rms(row.smoothed)).toBeLessThan(0.9 * rms(row.causal));
    if (SEEDS < MANY_SEEDS && !ROUGH.includes(name)) expect(worst(row.later)).toBeLessThan(0.06);
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
