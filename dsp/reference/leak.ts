/** How the ignition leaks into a sensor's channel: what the sensor hears after each strike in, a short filter from the
 * clamp's channel out, by least squares over the last strikes. */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { History } from './history';

/** Frames to either side over which the leak may be smeared. */
const SIDE = 2;
const TAPS = 2 * SIDE + 1;
/** The strike with its ringing; before and after it nothing is learnt. */
const FROM_S = -0.1e-3;
const UNTIL_S = 0.7e-3;
/** What was learnt from a strike fades by this share with each later one. */
const FADE = 0.02;
/** Share of the strikes' power below which a direction of the filter is not believed. */
const RIDGE = 1e-3;
/** The filter is found anew at each of the first strikes, then now and then. */
const SOLVED_EACH = 16;
const SOLVED_EVERY = 16;

export class Leak {
  readonly #power = new Float64Array(TAPS * TAPS);
  readonly #cross = new Float64Array(TAPS);
  readonly #taps = new Float64Array(TAPS);
  readonly #window = new Float64Array(TAPS);
  #learnt = 0;

  constructor(
    private readonly clamp: History,
    private readonly sensor: History,
    private readonly sampleRateHz: number,
  ) {}

  /** What the sensor's channel holds at a frame beside the ignition. */
  without(frame: number): number {
    let sum = this.sensor.at(frame);
    for (let k = 0; k < TAPS; k++) sum -= this.#taps[k]! * this.clamp.at(frame + k - SIDE);
    return sum;
  }

  /** Learns from a strike that no pulse of the sensor stands near. @param frame of the strike, in both histories */
  learn(frame: number): void {
    const from = Math.round(frame + FROM_S * this.sampleRateHz);
    const until = Math.round(frame + UNTIL_S * this.sampleRateHz);
    if (from - SIDE < this.sensor.oldest || until + SIDE >= this.sensor.end) return;
    for (let i = 0; i < this.#power.length; i++) this.#power[i]! *= 1 - FADE;
    for (let k = 0; k < TAPS; k++) this.#cross[k]! *= 1 - FADE;
    let mean = 0;
    for (let n = from; n < until; n++) mean += this.sensor.at(n) / (until - from);
    for (let n = from; n < until; n++) this.#add(n, this.sensor.at(n) - mean);
    if (++this.#learnt <= SOLVED_EACH || this.#learnt % SOLVED_EVERY === 0) this.#solve();
  }

  #add(frame: number, heard: number): void {
    const window = this.#window;
    for (let k = 0; k < TAPS; k++) window[k] = this.clamp.at(frame + k - SIDE);
    for (let i = 0; i < TAPS; i++) {
      this.#cross[i]! += window[i]! * heard;
      for (let j = 0; j <= i; j++) this.#power[i * TAPS + j]! += window[i]! * window[j]!;
    }
  }

  #solve(): void {
    const power = new Matrix(TAPS, TAPS);
    let trace = 0;
    for (let i = 0; i < TAPS; i++) trace += this.#power[i * TAPS + i]!;
    if (!(trace > 0)) return;
    for (let i = 0; i < TAPS; i++)
      for (let j = 0; j <= i; j++) {
        const value = this.#power[i * TAPS + j]! + (i === j ? (RIDGE * trace) / TAPS : 0);
        power.set(i, j, value);
        power.set(j, i, value);
      }
    const solved = new CholeskyDecomposition(power).solve(Matrix.columnVector([...this.#cross]));
    for (let k = 0; k < TAPS; k++) this.#taps[k] = solved.get(k, 0);
  }
}
