/** How fast a beat goes, by many models side by side, from an engine held steady to one blipped, weighed by how well
 * each foretold the strikes (an interacting multiple model). Each is a Kalman filter for where in the beat one is
 * (in strikes), the rate (hertz) and its change (hertz a second). Times in seconds; allocates nothing.
 * @source Blom & Bar-Shalom, IEEE Trans. Automatic Control 33 (1988) 780-783; Bar-Shalom, Li & Kirubarajan, Estimation
 * with Applications to Tracking and Navigation (2001), ch. 5, 6 and 11 (memory) */
import { AT_FIRST, KINDS, LEVELS, MOVES, STAYS } from './rate-kinds';
import {
  CC,
  CHANGE,
  DRIFT,
  F,
  FF,
  N,
  PC,
  PLACE,
  PP,
  PR,
  predictOne,
  RATE,
  RC,
  RF,
  RR,
  SCATTER_VAR,
  SIZE,
  updateOne,
} from './rate-model';

/** Sums over models: as many as place to covariance, and the share. */
const SUMS = 10;
const SHARE = 9;
const MOST_MIXES = 8;
/** A change that may just begin is not told of before it shows. */
const LEAST_WEIGHT = 1e-2;
/** Standard deviation of what is lost besides what shows, in intervals. */
const MORE_LOST = 0.7;
const LOG_ROOT_2PI = 0.5 * Math.log(2 * Math.PI);

/** Of all banks, one after the other. */
const sums = new Float64Array(LEVELS * SUMS);
const into = new Float64Array(SUMS);
const about = new Float64Array(3);
const apartOf = new Float64Array(N);
const fresh = new Float64Array(LEVELS * SUMS);
const LEVEL = Uint8Array.from(KINDS, ({ level }) => level);
const OF_LEVEL = Float64Array.from(KINDS, ({ share }) => share);

export class RateBank {
  readonly #models = new Float64Array(N * SIZE);
  readonly #weight = new Float64Array(N);
  /** Each model's likelihood of the strike last compared, by the same figure for all. */
  readonly #likely = new Float64Array(N);
  /** Over all models, after the last strike taken. */
  rateHz = 0;
  rateVar = 0;
  /** How far into the beat the next strike came, in intervals since the last, all models together; variance of that, by
   * those that count. */
  advance = 0;
  advanceVar = 0;

  /** @param slowS interval from which an engine is as restless as it can be; it fades below */
  constructor(private readonly slowS: number) {}

  copy(from: RateBank): void {
    this.#models.set(from.#models);
    this.#weight.set(from.#weight);
    this.#likely.set(from.#likely);
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
      this.#models[at + FF] = (uneven * rateHz) ** 2;
    }
    this.#sum();
  }

  /** At a strike that came another way than the last rate foretold: a ramp since then, or another rate at once. */
  restart(dtS: number, beforeHz: number, sd: number, timeVar: number): void {
    const meanHz = 1 / dtS;
    this.start(meanHz, (sd * meanHz) ** 2, timeVar);
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
    const x = this.#models;
    for (let m = 0; m < N; m++) {
      if (DRIFT[m] === 0) continue;
      x[m * SIZE + CHANGE] = changeHzPerS;
      x[m * SIZE + CC] = (0.3 * changeHzPerS) ** 2;
    }
    this.#sum();
  }

  /** Every strike was taken for two intervals. */
  halve(): void {
    const x = this.#models;
    for (let at = 0; at < N * SIZE; at += SIZE) {
      for (let k = 0; k < 3; k++) x[at + k]! /= 2;
      for (let k = 3; k < SIZE; k++) x[at + k]! /= 4;
      x[at + F]! *= 2;
    }
    this.#sum();
  }

  /** On to the time of the next strike, seconds later. */
  predict(dtS: number): void {
    const intervals = Math.min(MOST_MIXES, Math.round(dtS * this.rateHz));
    for (let i = 1; i < intervals; i++) this.#mixWeights();
    this.#mix();
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
      x[at + PLACE] = x[at + PR] = x[at + PC] = x[at + F] = x[at + RF] = 0;
      x[at + PP] = rate * rate * timeVar + SCATTER_VAR[m]!;
      const more = (lostS > 0 ? MORE_LOST : 0) / rate; // whole intervals may be lost besides
      x[at + RR]! += 2 * lostS * x[at + RC]! + lostS * lostS * cc + (loosenedBy * rate) ** 2;
      x[at + RR]! += (more * x[at + CHANGE]!) ** 2;
      x[at + RC]! += lostS * cc;
      x[at + FF] = (KINDS[m]!.uneven * rate) ** 2;
    }
    this.#sum();
  }

  /** Each model starts from what all know, as far as the engine may have changed its way of running: sums by level,
   * about the mean of all. */
  #mix(): void {
    const x = this.#models;
    sums.fill(0);
    about.fill(0);
    for (let m = 0; m < N; m++) for (let k = 0; k < 3; k++) about[k]! += this.#weight[m]! * x[m * SIZE + k]!;
    for (let m = 0; m < N; m++) gather(x, m * SIZE, this.#weight[m]!, sums, LEVEL[m]! * SUMS);
    comeTo(SUMS);
    for (let to = 0; to < N; to++) {
      const own = this.#weight[to]! * STAYS[LEVEL[to]!]!;
      const mix = DRIFT[to] === 0 ? mixLevel : mixDrifting;
      this.#weight[to] = mix(x, to * SIZE, own, OF_LEVEL[to]!, LEVEL[to]! * SUMS);
    }
  }

  /** Where strikes are missing the engine may have changed its way of running in each interval. */
  #mixWeights(): void {
    sums.fill(0);
    for (let m = 0; m < N; m++) sums[LEVEL[m]! * SUMS]! += this.#weight[m]!;
    comeTo(1);
    for (let to = 0; to < N; to++)
      this.#weight[to] = STAYS[LEVEL[to]!]! * this.#weight[to]! + OF_LEVEL[to]! * fresh[LEVEL[to]! * SUMS]!;
  }

  /** Place, rate and change over all models, then the upper triangle of their covariance, as they stand now.
   * @param into nine numbers */
  moments(told: Float64Array): void {
    const x = this.#models;
    about.fill(0);
    into.fill(0);
    for (let m = 0; m < N; m++)
      if (this.#weight[m]! >= LEAST_WEIGHT) {
        about[1]! += this.#weight[m]! * (x[m * SIZE + RATE]! + x[m * SIZE + F]!);
        about[0]! += this.#weight[m]!;
      }
    about[1]! /= about[0]!;
    about[0] = 0;
    for (let m = 0; m < N; m++) {
      if (this.#weight[m]! < LEAST_WEIGHT) continue;
      const at = m * SIZE;
      const [rate, rr] = [x[at + RATE]!, x[at + RR]!];
      x[at + RATE]! += x[at + F]!;
      x[at + RR]! += x[at + FF]! + 2 * x[at + RF]!;
      gather(x, at, this.#weight[m]!, into, 0);
      x[at + RATE] = rate;
      x[at + RR] = rr;
    }
    scatterInto(told, 0);
  }

  /** Mean and variance over all models. */
  #sum(): void {
    const x = this.#models;
    let total = 0;
    let mean = 0;
    for (let m = 0; m < N; m++) {
      if (this.#weight[m]! < LEAST_WEIGHT) continue;
      total += this.#weight[m]!;
      mean += this.#weight[m]! * (x[m * SIZE + RATE]! + x[m * SIZE + F]!);
    }
    mean /= total;
    let variance = 0;
    for (let m = 0; m < N; m++) {
      if (this.#weight[m]! < LEAST_WEIGHT) continue;
      const at = m * SIZE;
      const own = x[at + RR]! + x[at + FF]! + 2 * x[at + RF]!;
      variance += (this.#weight[m]! / total) * (own + (x[at + RATE]! + x[at + F]! - mean) ** 2);
    }
    this.rateHz = mean;
    this.rateVar = variance;
  }
}

/** What comes to each level from all, of the first so many sums. */
function comeTo(count: number): void {
  for (let to = 0; to < LEVELS; to++)
    for (let k = 0; k < count; k++) {
      let sum = 0;
      for (let from = 0; from < LEVELS; from++) sum += MOVES[from * LEVELS + to]! * sums[from * SUMS + k]!;
      fresh[to * SUMS + k] = sum;
    }
}

/** A model that stays as it is by so much, and by so much is drawn anew from what comes to its level.
 * @returns its weight */
function mixDrifting(x: Float64Array, at: number, own: number, share: number, level: number): number {
  for (let k = 0; k < SUMS; k++) into[k] = share * fresh[level + k]!;
  gather(x, at, own, into, 0);
  scatterInto(x, at);
  return into[SHARE]!;
}

/** The same where the rate has no change of its own. */
function mixLevel(x: Float64Array, at: number, own: number, share: number, level: number): number {
  const p = x[at + PLACE]! - about[0]!;
  const r = x[at + RATE]! - about[1]!;
  const total = own + share * fresh[level + SHARE]!;
  const meanP = (own * p + share * fresh[level]!) / total;
  const meanR = (own * r + share * fresh[level + 1]!) / total;
  x[at + PLACE] = about[0]! + meanP;
  x[at + RATE] = about[1]! + meanR;
  x[at + PP] = (own * (x[at + PP]! + p * p) + share * fresh[level + PP]!) / total - meanP * meanP;
  x[at + PR] = (own * (x[at + PR]! + p * r) + share * fresh[level + PR]!) / total - meanP * meanR;
  x[at + RR] = (own * (x[at + RR]! + r * r) + share * fresh[level + RR]!) / total - meanR * meanR;
  return total;
}

/** Adds a model's moments about the mean, so much of it. */
function gather(x: Float64Array, from: number, share: number, to: Float64Array, at: number): void {
  const p = x[from + PLACE]! - about[0]!;
  const r = x[from + RATE]! - about[1]!;
  const c = x[from + CHANGE]! - about[2]!;
  to[at]! += share * p;
  to[at + 1]! += share * r;
  to[at + 2]! += share * c;
  to[at + PP]! += share * (x[from + PP]! + p * p);
  to[at + PR]! += share * (x[from + PR]! + p * r);
  to[at + PC]! += share * (x[from + PC]! + p * c);
  to[at + RR]! += share * (x[from + RR]! + r * r);
  to[at + RC]! += share * (x[from + RC]! + r * c);
  to[at + CC]! += share * (x[from + CC]! + c * c);
  to[at + SHARE]! += share;
}

/** A model out of what was gathered. */
function scatterInto(y: Float64Array, at: number): void {
  const total = into[SHARE]!;
  const p = into[0]! / total;
  const r = into[1]! / total;
  const c = into[2]! / total;
  y[at + PLACE] = about[0]! + p;
  y[at + RATE] = about[1]! + r;
  y[at + CHANGE] = about[2]! + c;
  y[at + PP] = into[PP]! / total - p * p;
  y[at + PR] = into[PR]! / total - p * r;
  y[at + PC] = into[PC]! / total - p * c;
  y[at + RR] = into[RR]! / total - r * r;
  y[at + RC] = into[RC]! / total - r * c;
  y[at + CC] = into[CC]! / total - c * c;
}
