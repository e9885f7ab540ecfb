/** How fast a beat goes, by many models side by side, from an engine held steady to one blipped, weighed by how well
 * each foretold the strikes (an interacting multiple model). Each is a Kalman filter for where in the beat one is
 * (in strikes), the rate (hertz) and its change (hertz a second). Times in seconds; allocates nothing.
 * @source Blom & Bar-Shalom, IEEE Trans. Automatic Control 33 (1988) 780-783; Bar-Shalom, Li & Kirubarajan, Estimation
 * with Applications to Tracking and Navigation (2001), ch. 5, 6 and 11 (memory) */
import { AT_FIRST, KINDS } from './rate-kinds';
import { mix, mixWeights } from './rate-mix';
import {
  A,
  AA,
  B,
  BB,
  CC,
  CHANGE,
  DRIFT,
  N,
  PC,
  PLACE,
  PP,
  PR,
  predictOne,
  RATE,
  RC,
  RR,
  SCATTER_VAR,
  SIZE,
  speedOf,
  speedVar,
  updateOne,
} from './rate-model';
import { LEAST_WEIGHT, momentsOf } from './rate-moments';
import { Unevenness } from './unevenness';

const MOST_MIXES = 8;
/** Standard deviation of what is lost besides what shows, in intervals. */
const MORE_LOST = 0.7;
const LOG_ROOT_2PI = 0.5 * Math.log(2 * Math.PI);

/** Of all banks, one after the other. */
const apartOf = new Float64Array(N);

export class RateBank {
  readonly #models = new Float64Array(N * SIZE);
  readonly #weight = new Float64Array(N);
  /** Each model's likelihood of the strike last compared, by the same figure for all. */
  readonly #likely = new Float64Array(N);
  readonly #unevenness = new Unevenness();
  /** Over all models, after the last strike taken. */
  rateHz = 0;
  rateVar = 0;
  /** How far into the beat the next strike came, in intervals since the last, all models together; variance of that, by
   * those that count. */
  advance = 0;
  advanceVar = 0;

  /** @param slowS interval from which an engine is as restless as it can be; it fades below */
  constructor(readonly slowS: number) {}

  copy(from: RateBank): void {
    this.#models.set(from.#models);
    this.#weight.set(from.#weight);
    this.#likely.set(from.#likely);
    this.#unevenness.copy(from.#unevenness);
    this.rateHz = from.rateHz;
    this.rateVar = from.rateVar;
    this.advance = from.advance;
    this.advanceVar = from.advanceVar;
  }

  /** At a strike, with a rate known so well. @param timeVar of the strike, seconds squared */
  start(rateHz: number, rateVar: number, timeVar: number): void {
    this.#models.fill(0);
    this.#weight.set(AT_FIRST);
    for (let m = 0; m < N; m++) {
      const at = m * SIZE;
      const { scatter, change, uneven } = KINDS[m]!;
      this.#models[at + RATE] = rateHz;
      this.#models[at + PP] = rateHz * rateHz * timeVar + scatter ** 2;
      this.#models[at + RR] = rateVar;
      if (change > 0) this.#models[at + CC] = (0.03 * rateHz * rateHz) ** 2;
      this.#models[at + AA] = this.#models[at + BB] = (uneven * rateHz) ** 2;
    }
    this.#sum();
  }

  /** Each way of running is as likely as another bank has it, of the same engine. */
  runLike(other: RateBank): void {
    this.#weight.set(other.#weight);
    this.#unevenness.copy(other.#unevenness);
    this.#sum();
  }

  /** At a strike that came another way than the last rate foretold: a ramp since then, or another rate at once. */
  restart(dtS: number, beforeHz: number, sd: number, timeVar: number): void {
    const meanHz = 1 / dtS;
    this.start(meanHz, (sd * meanHz) ** 2, timeVar);
    this.#unevenness.weigh(this.#weight);
    const x = this.#models;
    const endHz = Math.max(0.7 * meanHz, Math.min(1.6 * meanHz, 2 * meanHz - beforeHz));
    const change = (endHz - meanHz) / (dtS / 2);
    for (let m = 0; m < N; m++) {
      if (KINDS[m]!.change === 0) continue;
      x[m * SIZE + RATE] = endHz;
      x[m * SIZE + CHANGE] = change;
      x[m * SIZE + CC] = (0.5 * change) ** 2 + (0.03 * meanHz * meanHz) ** 2;
    }
    this.#sum();
  }

  /** At a strike, with a rate that changes evenly. @param doubtHz standard deviation of the rate */
  ramp(rateHz: number, changeHzPerS: number, doubtHz: number, timeVar: number): void {
    this.start(rateHz, doubtHz * doubtHz, timeVar);
    this.#unevenness.weigh(this.#weight);
    const x = this.#models;
    for (let m = 0; m < N; m++) {
      if (DRIFT[m] === 0) continue;
      x[m * SIZE + CHANGE] = changeHzPerS;
      x[m * SIZE + CC] = (0.3 * changeHzPerS) ** 2;
    }
    this.#sum();
  }

  /** Every strike was taken for twice as many intervals as it was: by half as many. Or the other way, by twice as many. */
  rescale(by: 0.5 | 2): void {
    const x = this.#models;
    for (let at = 0; at < N * SIZE; at += SIZE) {
      for (let k = 0; k < 3; k++) x[at + k]! *= by;
      for (let k = 3; k < SIZE; k++) x[at + k]! *= by * by;
      x[at + A]! /= by;
      x[at + B]! /= by;
    }
    this.advance *= by;
    this.advanceVar *= by * by;
    this.#sum();
  }

  /** On to the time of the next strike, seconds later. */
  predict(dtS: number): void {
    const intervals = Math.min(MOST_MIXES, Math.round(dtS * this.rateHz));
    for (let i = 1; i < intervals; i++) mixWeights(this.#weight);
    mix(this.#models, this.#weight);
    let advance = 0;
    for (let m = 0; m < N; m++) {
      predictOne(this.#models, m * SIZE, m, dtS, this.slowS);
      advance += this.#weight[m]! * this.#models[m * SIZE + PLACE]!;
    }
    this.advance = advance;
    this.#spreadOfAdvance();
  }

  #spreadOfAdvance(): void {
    const x = this.#models;
    let total = 0;
    let sum = 0;
    for (let m = 0, at = 0; m < N; m++, at += SIZE) {
      const weight = this.#weight[m]!;
      if (weight < LEAST_WEIGHT) continue;
      total += weight;
      sum += weight * (x[at + PP]! + SCATTER_VAR[m]! + (x[at + PLACE]! - this.advance) ** 2);
    }
    this.advanceVar = sum / total;
  }

  /** What the strike says if it came so many intervals after the last.
   * @returns logarithm of its likelihood, by seconds */
  compare(steps: number, timeVar: number): number {
    const x = this.#models;
    let nearest = Infinity;
    for (let m = 0, at = 0; m < N; m++, at += SIZE) {
      const rate = x[at + RATE]!;
      const off = steps - x[at + PLACE]!;
      const variance = x[at + PP]! + rate * rate * timeVar + SCATTER_VAR[m]!;
      const apart = (0.5 * off * off) / variance;
      apartOf[m] = apart;
      this.#likely[m] = rate / Math.sqrt(variance);
      if (apart < nearest) nearest = apart;
    }
    let sum = 1e-300;
    for (let m = 0; m < N; m++)
      sum += this.#weight[m]! * (this.#likely[m]! *= Math.exp(nearest - apartOf[m]!));
    return Math.log(sum) - nearest - LOG_ROOT_2PI;
  }

  /** Takes the strike last compared. */
  update(steps: number, timeVar: number): void {
    let sum = 0;
    for (let m = 0; m < N; m++) {
      updateOne(this.#models, m * SIZE, m, steps, timeVar);
      sum += this.#weight[m] = (this.#weight[m]! + 1e-12) * this.#likely[m]!;
    }
    for (let m = 0; m < N; m++) this.#weight[m]! /= sum;
    this.#unevenness.learn(this.#weight);
    this.#sum();
  }

  /** The beat starts anew at the strike, as fast as before, or as the rate went on while sound was lost.
   * @param loosenedBy share of the rate that may have changed @param lostS what was lost at least */
  anchor(timeVar: number, loosenedBy: number, lostS: number): void {
    const x = this.#models;
    for (let m = 0; m < N; m++) {
      const at = m * SIZE;
      const rate = Math.max(0.7 * x[at + RATE]!, x[at + RATE]! + lostS * x[at + CHANGE]!);
      const cc = x[at + CC]!;
      x[at + RATE] = rate;
      x[at + PLACE] = x[at + PR] = x[at + PC] = 0;
      x.fill(0, at + A, at + SIZE);
      x[at + PP] = rate * rate * timeVar + SCATTER_VAR[m]!;
      const more = (lostS > 0 ? MORE_LOST : 0) / rate; // whole intervals may be lost besides
      x[at + RR]! += 2 * lostS * x[at + RC]! + lostS * lostS * cc + (loosenedBy * rate) ** 2;
      x[at + RR]! += (more * x[at + CHANGE]!) ** 2;
      x[at + RC]! += lostS * cc;
      x[at + AA] = x[at + BB] = (KINDS[m]!.uneven * rate) ** 2;
    }
    this.#sum();
  }

  /** What all models know together, as they stand now. @param told `MOMENTS` numbers, written @param alone leaves out what
   * is usual of a cycle's own speed, so that it counts once where this meets another bank's */
  moments(told: Float64Array, alone: boolean): void {
    momentsOf(this.#models, this.#weight, this.slowS, alone, told);
  }

  /** Mean and variance over all models. */
  #sum(): void {
    const x = this.#models;
    let total = 0;
    let mean = 0;
    for (let m = 0; m < N; m++) {
      if (this.#weight[m]! < LEAST_WEIGHT) continue;
      total += this.#weight[m]!;
      mean += this.#weight[m]! * speedOf(x, m * SIZE);
    }
    mean /= total;
    let variance = 0;
    for (let m = 0; m < N; m++) {
      if (this.#weight[m]! < LEAST_WEIGHT) continue;
      const at = m * SIZE;
      const own = speedVar(x, at, m, this.slowS);
      variance += (this.#weight[m]! / total) * (own + (speedOf(x, at) - mean) ** 2);
    }
    this.rateHz = mean;
    this.rateVar = variance;
  }
}
