/** Draws from a density that is known up to a factor, or its highest place: a log density and starting points in,
 * points out. Knows no readings. The same input gives the same points to the last bit. */
import { evenChance, normalChance } from './chance';

/** A point's log density up to a constant; -Infinity where the point cannot be. */
export type LogDensity = (point: Float64Array) => number;

/** What is known before and what the data add. */
export interface Densities {
  readonly prior: LogDensity;
  readonly likelihood: LogDensity;
}

export interface Walk {
  /** The data are let in step by step, from a small share to the whole, with so many rounds at each step. */
  readonly steps: number;
  readonly roundsAtStep: number;
  /** How many times each point is moved after that. */
  readonly rounds: number;
  /** Every so many rounds all points are kept. */
  readonly keepEvery: number;
  readonly seed: number;
}

/** Shares of the coordinates that a move may change; small moves get through where large ones do not. */
const CROSSOVERS = [0.25, 0.5, 1];
/** How often a move spans the whole difference, so that points can leap between separate hills. */
const LEAPS = 0.1;
const WOBBLE = 1e-5;

/** The crowd of points, each with its log densities, moved by differences of others. */
class Crowd {
  readonly points: Float64Array[];
  #before: number[];
  #data: number[];
  readonly #densities: Densities;
  readonly #even: () => number;
  readonly #normal: () => number;
  readonly #trial: Float64Array;

  constructor(densities: Densities, starts: readonly Float64Array[], seed: number) {
    this.#densities = densities;
    this.points = starts.map((start) => start.slice());
    this.#before = this.points.map(densities.prior);
    this.#data = this.points.map(densities.likelihood);
    this.#even = evenChance(seed);
    this.#normal = normalChance(this.#even);
    this.#trial = new Float64Array(starts[0]!.length);
  }

  /** Moves every point once.
   * @param share of the data's log density that counts */
  round(share: number): void {
    for (let i = 0; i < this.points.length; i++) this.#move(i, share);
  }

  /** Moves every point once, upwards only. */
  climb(): void {
    for (let i = 0; i < this.points.length; i++) this.#move(i, null);
  }

  /** Points are dropped or doubled by how much the data speak for them.
   * @param more share of the data's log density that now counts beyond what counted before */
  choose(more: number): void {
    const top = Math.max(...this.#data);
    const weights = this.#data.map((height) => Math.exp(more * (height - top)));
    const whole = weights.reduce((sum, weight) => sum + weight, 0);
    const count = this.points.length;
    const picked: number[] = [];
    let [sum, next] = [0, this.#even() / count];
    weights.forEach((weight, i) => {
      sum += weight / whole;
      for (; next < sum && picked.length < count; next += 1 / count) picked.push(i);
    });
    while (picked.length < count) picked.push(count - 1);
    const points = picked.map((i) => this.points[i]!.slice());
    points.forEach((point, i) => this.points[i]!.set(point));
    this.#before = picked.map((i) => this.#before[i]!);
    this.#data = picked.map((i) => this.#data[i]!);
  }

  highest(): { readonly point: Float64Array; readonly height: number } {
    const heights = this.points.map((_, i) => this.#before[i]! + this.#data[i]!);
    const best = heights.reduce((top, height, i) => (height > heights[top]! ? i : top), 0);
    return { point: this.points[best]!.slice(), height: heights[best]! };
  }

  /** @param share null: only what is higher is taken */
  #move(i: number, share: number | null): void {
    this.#propose(i);
    const before = this.#densities.prior(this.#trial);
    if (before === -Infinity) return;
    const data = this.#densities.likelihood(this.#trial);
    const gain = before - this.#before[i]! + (share ?? 1) * (data - this.#data[i]!);
    const taken = share === null ? gain > 0 : gain >= 0 || Math.log(this.#even()) < gain;
    if (!taken) return;
    this.points[i]!.set(this.#trial);
    this.#before[i] = before;
    this.#data[i] = data;
  }

  #propose(i: number): void {
    const { points } = this;
    const [a, b] = this.#twoOthers(i);
    const share = CROSSOVERS[Math.floor(this.#even() * CROSSOVERS.length)]!;
    const own = points[i]!;
    const size = own.length;
    const step = this.#even() < LEAPS ? 1 : 2.38 / Math.sqrt(2 * Math.max(1, share * size));
    const length = step * (0.8 + 0.4 * this.#even());
    const sure = Math.floor(this.#even() * size);
    for (let k = 0; k < size; k++) {
      const moved = k === sure || this.#even() < share;
      this.#trial[k] = own[k]! + (moved ? length * (a[k]! - b[k]!) + WOBBLE * this.#normal() : 0);
    }
  }

  #twoOthers(i: number): [Float64Array, Float64Array] {
    const count = this.points.length;
    let a = Math.floor(this.#even() * (count - 1));
    if (a >= i) a++;
    let b = a;
    while (b === a || b === i) b = Math.floor(this.#even() * count);
    return [this.points[a]!, this.points[b]!];
  }
}

function checkStarts(starts: readonly Float64Array[]): void {
  if (starts.length < 4) throw new RangeError(`at least 4 starting points are wanted, got ${starts.length}`);
}

/** The share of the data that the first step lets in. */
const FIRST_SHARE = 0.03;

/** Points drawn from prior times likelihood. Letting the data in step by step gives hills that stand apart their right
 * share of the points.
 * @param starts as many points as shall walk together, all possible before the data: four or more, better several for
 * each coordinate
 * @throws RangeError for fewer than 4 starting points
 * @source Differential evolution Markov chain: C. J. F. ter Braak, Statistics and Computing 16 (2006) 239; moves on
 * part of the coordinates: J. A. Vrugt and others, Int. J. Nonlinear Sci. Numer. Simul. 10 (2009) 273; steps with
 * choice by weight: P. Del Moral, A. Doucet and A. Jasra, J. R. Stat. Soc. B 68 (2006) 411 (from memory) */
export function draw(densities: Densities, starts: readonly Float64Array[], walk: Walk): Float64Array[] {
  checkStarts(starts);
  const crowd = new Crowd(densities, starts, walk.seed);
  let share = FIRST_SHARE;
  for (let step = 0; step <= walk.steps; step++) {
    const next = FIRST_SHARE ** (1 - step / walk.steps);
    if (step > 0) crowd.choose(next - share);
    share = next;
    for (let round = 0; round < walk.roundsAtStep; round++) crowd.round(share);
  }
  const kept: Float64Array[] = [];
  for (let round = 1; round <= walk.rounds; round++) {
    crowd.round(1);
    if (round % walk.keepEvery === 0) kept.push(...crowd.points.map((point) => point.slice()));
  }
  return kept;
}

/** The highest place found, with its log density.
 * @throws RangeError for fewer than 4 starting points
 * @source Differential evolution: R. Storn and K. Price, J. Global Optim. 11 (1997) 341 (from memory) */
export function climb(
  densities: Densities,
  starts: readonly Float64Array[],
  rounds: number,
  seed: number,
): { readonly point: Float64Array; readonly height: number } {
  checkStarts(starts);
  const crowd = new Crowd(densities, starts, seed);
  for (let round = 0; round < rounds; round++) crowd.climb();
  return crowd.highest();
}
