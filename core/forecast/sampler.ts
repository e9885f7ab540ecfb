/** Draws from a density that is known up to a factor, or its highest place: a log density and starting points in,
 * points out. Knows no readings. The same input gives the same points to the last bit. */
import { evenChance, normalChance } from './chance';

/** A point's log density up to a constant; -Infinity where the point cannot be. */
export type LogDensity = (point: Float64Array) => number;

export interface Walk {
  /** How many times each point is moved; those of the first `settle` rounds are dropped. */
  readonly rounds: number;
  readonly settle: number;
  /** Every so many rounds all points are kept. */
  readonly keepEvery: number;
  readonly seed: number;
}

/** Shares of the coordinates that a move may change; small moves get through where large ones do not. */
const CROSSOVERS = [0.25, 0.5, 1];
/** How often a move spans the whole difference, so that points can leap between separate hills. */
const LEAPS = 0.1;
const WOBBLE = 1e-5;

/** The crowd of points, each with its log density, moved by differences of others. */
class Crowd {
  readonly points: Float64Array[];
  readonly heights: number[];
  readonly #density: LogDensity;
  readonly #even: () => number;
  readonly #normal: () => number;
  readonly #trial: Float64Array;

  constructor(density: LogDensity, starts: readonly Float64Array[], seed: number) {
    this.#density = density;
    this.points = starts.map((start) => start.slice());
    this.heights = this.points.map(density);
    this.#even = evenChance(seed);
    this.#normal = normalChance(this.#even);
    this.#trial = new Float64Array(starts[0]!.length);
  }

  /** Moves every point once.
   * @param greedy take only what is higher */
  round(greedy: boolean): void {
    for (let i = 0; i < this.points.length; i++) this.#move(i, greedy);
  }

  #move(i: number, greedy: boolean): void {
    this.#propose(i);
    const height = this.#density(this.#trial);
    const gain = height - this.heights[i]!;
    const taken = greedy ? gain > 0 : gain >= 0 || Math.log(this.#even()) < gain;
    if (!taken) return;
    this.points[i]!.set(this.#trial);
    this.heights[i] = height;
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

/** Points drawn from the density.
 * @param starts as many points as shall walk together: four or more, better several for each coordinate
 * @throws RangeError for fewer than 4 starting points
 * @source Differential evolution Markov chain: C. J. F. ter Braak, Statistics and Computing 16 (2006) 239; moves on
 * part of the coordinates: J. A. Vrugt and others, Int. J. Nonlinear Sci. Numer. Simul. 10 (2009) 273 (from memory) */
export function draw(density: LogDensity, starts: readonly Float64Array[], walk: Walk): Float64Array[] {
  checkStarts(starts);
  const crowd = new Crowd(density, starts, walk.seed);
  const kept: Float64Array[] = [];
  for (let round = 1; round <= walk.rounds; round++) {
    crowd.round(false);
    if (round > walk.settle && (round - walk.settle) % walk.keepEvery === 0)
      kept.push(...crowd.points.map((point) => point.slice()));
  }
  return kept;
}

/** The highest place found, with its log density.
 * @throws RangeError for fewer than 4 starting points
 * @source Differential evolution: R. Storn and K. Price, J. Global Optim. 11 (1997) 341 (from memory) */
export function climb(
  density: LogDensity,
  starts: readonly Float64Array[],
  rounds: number,
  seed: number,
): { readonly point: Float64Array; readonly height: number } {
  checkStarts(starts);
  const crowd = new Crowd(density, starts, seed);
  for (let round = 0; round < rounds; round++) crowd.round(true);
  const best = crowd.heights.reduce((top, height, i) => (height > crowd.heights[top]! ? i : top), 0);
  return { point: crowd.points[best]!, height: crowd.heights[best]! };
}
