import { expect, test } from 'vitest';
import { HiddenStrikes, type AtPlace, type Heard } from '../../../dsp/beat/hidden-strikes';
import { Candidates } from '../../../dsp/impulses/candidates';
import { createRandom } from '../../../dsp/maker/random';

const RATE_HZ = 48_000;
/** A usual strike and the noise beside it. */
const LEVEL = 1;
const NOISE = 0.16;
/** As tall as noise often is, and strikes seldom. */
const LOW = 0.45;
/** What was learnt from so many strikes in a row. */
const LEARNT = 60;
const PERIOD_S = 0.05;
/** Deviation of each strike's time, and of its height. */
const JITTER_S = 20e-6;
const HEIGHT_SCATTER = 0.2;
const SEEDS = Array.from({ length: 50 }, (_, seed) => seed);

/** Sound of impulses at known places; a shape finds the tallest within the search. */
class Impulses implements Heard {
  readonly sampleRateHz = RATE_HZ;
  readonly asked: { place: number; search: number }[] = [];
  constructor(private readonly impulses: readonly AtPlace[]) {}

  lookAt(place: number, search: number): AtPlace | null {
    this.asked.push({ place, search });
    const near = this.impulses.filter((each) => Math.abs(each.place - place) <= search);
    return near.sort((a, b) => b.amplitude - a.amplitude)[0] ?? null;
  }
}

const impulse = (timeS: number, amplitude: number): AtPlace => ({
  place: timeS * RATE_HZ,
  amplitude,
  variance: 0.04,
});

interface Engine {
  /** Of all its strikes, in order. */
  readonly timesS: readonly number[];
  /** Those that are no candidates. */
  readonly unseen: readonly number[];
  /** Strikes before which so many samples were lost. */
  readonly lostBefore?: { readonly strike: number; readonly samples: number };
}

/** Takes the strikes that are seen. @returns what was told last, and when all that was told stood */
function follow(heard: Heard, engine: Engine, seed = 0): { hidden: HiddenStrikes; told: number[] } {
  const all = new Candidates('sharp');
  const hidden = new HiddenStrikes(all, heard);
  const random = createRandom(seed, 2);
  const told: number[] = [];
  let last = -1;
  engine.timesS.forEach((timeS, n) => {
    if (engine.unseen.includes(n)) return;
    const lost = engine.lostBefore && n >= engine.lostBefore.strike ? engine.lostBefore.samples : 0;
    const height = LEVEL + HEIGHT_SCATTER * random.normal();
    all.add(timeS, height, 1, NOISE, timeS * RATE_HZ - lost, 1e-10);
    hidden.take(all.end - 1, last === -1 ? 0 : n - last, LEVEL);
    last = n;
    told.push(...hidden.timeS.subarray(0, hidden.count));
  });
  return { hidden, told };
}

/** Strikes of an even engine. */
function even(strikes: number, seed: number): number[] {
  const random = createRandom(seed);
  return Array.from({ length: strikes }, (_, n) => 1 + n * PERIOD_S + JITTER_S * random.normal());
}

test.each([{ inARow: 1 }, { inARow: 2 }, { inARow: 4 }])(
  '$inARow hidden in a row are told where they stand, in order of time',
  ({ inARow }) => {
    for (const seed of SEEDS) {
      const timesS = even(LEARNT + inARow + 1, seed);
      const unseen = Array.from({ length: inARow }, (_, n) => LEARNT + n);
      for (const n of unseen) timesS[n] = 1 + n * PERIOD_S + JITTER_S; // one deviation late
      const heard = new Impulses(unseen.map((n) => impulse(timesS[n]!, 0.6)));
      const { hidden, told } = follow(heard, { timesS, unseen }, seed);
      expect(told).toHaveLength(inARow);
      told.forEach((timeS, n) => expect(timeS).toBeCloseTo(timesS[LEARNT + n]!, 9));
      expect([...hidden.height.subarray(0, inARow)]).toEqual(unseen.map(() => 0.6));
      // no better known than the place is, nor than by far: what was learnt of an even engine
      for (const timeVar of hidden.timeVar.subarray(0, inARow)) {
        expect(timeVar).toBeGreaterThan(0.04 / RATE_HZ ** 2);
        expect(Math.sqrt(timeVar)).toBeLessThan(10 * JITTER_S);
      }
    }
  },
);

test('nothing is looked for where no strike is missing, nor where so many are that nobody can count them', () => {
  const timesS = even(LEARNT + 6, 0);
  const heard = new Impulses(timesS.map((timeS) => impulse(timeS, 0.6)));
  const unseen = [0, 1, 2, 3, 4].map((n) => LEARNT + n);
  expect(follow(heard, { timesS, unseen }).told).toEqual([]);
  expect(heard.asked).toEqual([]);
});

test('where noise alone stands none is told: below it, as tall as it often is, and taller beside the place', () => {
  const missing = { timesS: even(LEARNT + 2, 0), unseen: [LEARNT] };
  const dueS = 1 + LEARNT * PERIOD_S;
  for (const heard of [
    new Impulses([]),
    new Impulses([impulse(dueS, 0.8 * NOISE)]),
    new Impulses([impulse(dueS, 1.5 * NOISE)]),
    new Impulses([impulse(dueS, -0.9)]),
    new Impulses([impulse(dueS + 20 * JITTER_S, 0.9)]),
  ]) {
    expect(follow(heard, missing).told).toEqual([]);
    expect(heard.asked).toHaveLength(1);
  }
});

test('of an engine that misfires, noise in the place of one strike in ten is told for few of them', () => {
  let told = 0;
  let misfires = 0;
  for (const seed of SEEDS) {
    const random = createRandom(seed, 1);
    const timesS = even(400, seed);
    const unseen = timesS.map((_, n) => n).filter((n) => n > 0 && n < 399 && random.uniform() < 0.1);
    // noise of one deviation every other sample, about as independent as the shape lets it be
    const heard: Heard = {
      sampleRateHz: RATE_HZ,
      lookAt: (place, search) => {
        const noise = Array.from({ length: search + 1 }, (_, n) => ({
          place: Math.round(place) - search + 2 * n,
          amplitude: NOISE * random.normal(),
          variance: 0.04,
        }));
        return noise.sort((a, b) => b.amplitude - a.amplitude)[0]!;
      },
    };
    told += follow(heard, { timesS, unseen }, seed).told.length;
    misfires += unseen.length;
  }
  expect(misfires).toBeGreaterThan(1500);
  expect(told / misfires).toBeLessThan(0.02);
});

test('a low impulse is told of most engines that never misfire, and of few that often do', () => {
  const strikes = 200;
  const toldOf = (unseenBefore: (n: number) => boolean): number =>
    SEEDS.reduce((told, seed) => {
      const timesS = even(strikes + 2, seed);
      const before = timesS.map((_, n) => n).filter((n) => n > 0 && n < strikes && unseenBefore(n));
      const heard = new Impulses([impulse(timesS[strikes]!, LOW)]);
      return told + follow(heard, { timesS, unseen: [...before, strikes] }, seed).told.length;
    }, 0);
  expect(toldOf(() => false)).toBeGreaterThan(0.7 * SEEDS.length);
  expect(toldOf((n) => n % 4 === 0)).toBeLessThan(0.3 * SEEDS.length);
});

test('where sound was lost between two strikes none is looked for', () => {
  const timesS = even(LEARNT + 2, 0);
  const heard = new Impulses([impulse(timesS[LEARNT]!, 0.9)]);
  const lostBefore = { strike: LEARNT + 1, samples: 128 };
  expect(follow(heard, { timesS, unseen: [LEARNT], lostBefore }).told).toEqual([]);
  expect(heard.asked).toEqual([]);
});

test('where the beat jumped none is looked for: it may be one interval or two', () => {
  const timesS = even(LEARNT + 2, 0);
  timesS[LEARNT + 1]! -= 0.4 * PERIOD_S;
  const heard = new Impulses([impulse(1 + (LEARNT - 0.2) * PERIOD_S, 0.9)]);
  expect(follow(heard, { timesS, unseen: [LEARNT] }).told).toEqual([]);
  expect(heard.asked).toEqual([]);
});

test('in a sweep it is looked for where it was due, not in the middle', () => {
  const timesS = [1];
  for (let n = 0; n < LEARNT + 1; n++) timesS.push(timesS[n]! + PERIOD_S * 0.98 ** n);
  const truth = timesS[LEARNT]!;
  const middle = (timesS[LEARNT - 1]! + timesS[LEARNT + 1]!) / 2;
  const heard = new Impulses([impulse(truth, 0.6), impulse(middle, 0.6 * NOISE)]);
  const { told } = follow(heard, { timesS, unseen: [LEARNT] });
  expect(told[0]).toBeCloseTo(truth, 9);
  expect(Math.abs(heard.asked[0]!.place / RATE_HZ - truth)).toBeLessThan(0.3 * Math.abs(middle - truth));
});

test('a beat that begins has learnt nothing of the one before', () => {
  const all = new Candidates('sharp');
  const heard = new Impulses([]);
  const hidden = new HiddenStrikes(all, heard);
  const take = (timeS: number, steps: number): void => {
    all.add(timeS, LEVEL, 1, NOISE, timeS * RATE_HZ, 1e-10);
    hidden.take(all.end - 1, steps, LEVEL);
  };
  even(LEARNT, 0).forEach((timeS, n) => take(timeS, n === 0 ? 0 : 1));
  take(10, 0);
  take(10.01, 1); // five times as fast as the beat before
  take(10.03, 2);
  expect(heard.asked).toHaveLength(1);
  expect(heard.asked[0]!.place / RATE_HZ).toBeCloseTo(10.02, 9);
});
