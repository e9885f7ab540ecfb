/** How fast a beat goes, by several models side by side, from an engine held steady to one blipped, weighed by how well
 * each foretold the strikes (an interacting multiple model). Each is a Kalman filter for where in the beat one is
 * (in strikes), the rate (hertz) and its change (hertz a second). Times in seconds; allocates nothing.
 * @source Blom & Bar-Shalom, IEEE Trans. Automatic Control 33 (1988) 780-783; Bar-Shalom, Li & Kirubarajan, Estimation
 * with Applications to Tracking and Navigation (2001), ch. 5, 6 and 11 (memory) */

/** How restless an engine is, each as a share of the rate or of an interval, for each interval anew. */
interface Kind {
  /** How restless, from 0: an engine seldom goes far in one strike. */
  readonly level: number;
  /** Less restless in shares of the rate where it turns fast: its torque has less time between strikes. */
  readonly fades?: boolean;
  /** Random walk of the rate. */
  readonly walk: number;
  /** Random walk of the rate's change; 0: it has no change of its own. */
  readonly change: number;
  /** Scatter of each strike about its place: sparks come a little early or late. */
  readonly scatter: number;
}

const KINDS: readonly Kind[] = [
  { level: 0, walk: 3e-8, change: 0, scatter: 0 }, // held
  { level: 0, walk: 3e-8, change: 0, scatter: 5e-5 },
  { level: 0, walk: 3e-8, change: 0, scatter: 1e-4 },
  { level: 0, walk: 3e-8, change: 0, scatter: 2e-4 },
  { level: 0, walk: 3e-8, change: 0, scatter: 4e-4 },
  { level: 0, walk: 3e-6, change: 0, scatter: 1e-4 },
  { level: 1, walk: 5e-5, change: 0, scatter: 1e-4 },
  { level: 1, walk: 4e-4, change: 0, scatter: 1e-4 },
  { level: 1, walk: 0, change: 1e-5, scatter: 1e-4 }, // swept
  { level: 1, walk: 0, change: 3e-4, scatter: 1e-4 },
  { level: 2, walk: 3e-3, change: 0, scatter: 1e-4 },
  { level: 2, walk: 1e-3, change: 6e-3, scatter: 1e-4 },
  { level: 3, walk: 0.015, change: 0, scatter: 1e-4 },
  { level: 4, walk: 0.06, change: 0, scatter: 1e-4, fades: true }, // rough idle
  { level: 4, walk: 0.01, change: 0.25, scatter: 1e-4, fades: true }, // blipped
];
/** Chance of another way of running at the next strike: one as restless or more, and a calmer one by how far its level
 * lies below. */
const GETS_RESTLESS = 2e-4;
const CALMS_DOWN = [0, 3e-5, 3e-5, 1e-5, 1e-5] as const;

const N = KINDS.length;
/** By kind from and to. */
const TRANSITIONS = new Float64Array(N * N);
KINDS.forEach(({ level: from }, i) => {
  let stays = 1;
  KINDS.forEach(({ level }, j) => {
    if (i === j) return;
    stays -= TRANSITIONS[i * N + j] = level < from ? CALMS_DOWN[from - level]! : GETS_RESTLESS;
  });
  TRANSITIONS[i * N + i] = stays;
});

/** Numbers of a model: place, rate, change; then the upper triangle of their covariance, row by row. */
const SIZE = 9;
const [PLACE, RATE, CHANGE, PP, PR, PC, RR, RC, CC] = [0, 1, 2, 3, 4, 5, 6, 7, 8] as const;
const MOST_MIXES = 8;
/** A change that may just begin is not told of before it shows. */
const LEAST_WEIGHT = 4e-3;
const LOG_ROOT_2PI = 0.5 * Math.log(2 * Math.PI);

export class RateBank {
  readonly #models = new Float64Array(N * SIZE);
  readonly #mixed = new Float64Array(N * SIZE);
  readonly #weight = new Float64Array(N);
  readonly #logLikelihood = new Float64Array(N);
  /** Over all models, after the last strike taken. */
  rateHz = 0;
  rateVar = 0;
  /** How far into the beat the next strike came, in intervals since the last, all models together. */
  advance = 0;

  /** @param slowS interval from which an engine is as restless as it can be; it fades below */
  constructor(private readonly slowS: number) {}

  copy(from: RateBank): void {
    this.#models.set(from.#models);
    this.#weight.set(from.#weight);
    this.#logLikelihood.set(from.#logLikelihood);
    this.rateHz = from.rateHz;
    this.rateVar = from.rateVar;
    this.advance = from.advance;
  }

  /** At a strike, with a rate known so well. @param timeVar of the strike, seconds squared */
  start(rateHz: number, rateVar: number, timeVar: number): void {
    this.#models.fill(0);
    this.#weight.fill(1 / N);
    for (let m = 0; m < N; m++) {
      const at = m * SIZE;
      this.#models[at + RATE] = rateHz;
      this.#models[at + PP] = rateHz * rateHz * timeVar + KINDS[m]!.scatter ** 2;
      this.#models[at + RR] = rateVar;
      if (KINDS[m]!.change > 0) this.#models[at + CC] = (0.03 * rateHz * rateHz) ** 2;
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

  /** Every strike was taken for two intervals. */
  halve(): void {
    const x = this.#models;
    for (let at = 0; at < N * SIZE; at += SIZE) {
      for (let k = 0; k < 3; k++) x[at + k]! /= 2;
      for (let k = 3; k < SIZE; k++) x[at + k]! /= 4;
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
      this.#predictOne(m * SIZE, KINDS[m]!, dtS);
      advance += this.#weight[m]! * this.#models[m * SIZE + PLACE]!;
    }
    this.advance = advance;
  }

  #predictOne(at: number, { walk, change, fades }: Kind, dt: number): void {
    const x = this.#models;
    const rate = Math.max(1e-3, x[at + RATE]!);
    const half = (dt * dt) / 2;
    const pp = x[at + PP]!;
    const pr = x[at + PR]!;
    const pc = x[at + PC]!;
    const rr = x[at + RR]!;
    const rc = x[at + RC]!;
    const cc = x[at + CC]!;
    x[at + PLACE]! += dt * x[at + RATE]! + half * x[at + CHANGE]!;
    x[at + RATE] = Math.max(0.3 * rate, x[at + RATE]! + dt * x[at + CHANGE]!); // an engine never turns back
    // restlessness comes evenly over time, for each interval anew: walks by their integrals
    const share = fades ? Math.min(1, 1 / (rate * this.slowS)) : 1;
    const qr = (share * walk) ** 2 * rate ** 3;
    const qc = (share * change) ** 2 * rate ** 5;
    const dt2 = dt * dt;
    const dt3 = dt2 * dt;
    x[at + PP] =
      pp +
      2 * dt * pr +
      2 * half * pc +
      dt2 * rr +
      2 * dt * half * rc +
      half * half * cc +
      (qr * dt3) / 3 +
      (qc * dt3 * dt2) / 20;
    x[at + PR] =
      pr + dt * pc + dt * rr + (half + dt2) * rc + half * dt * cc + (qr * dt2) / 2 + (qc * dt2 * dt2) / 8;
    x[at + PC] = pc + dt * rc + half * cc + (qc * dt3) / 6;
    x[at + RR] = rr + 2 * dt * rc + dt2 * cc + qr * dt + (qc * dt3) / 3;
    x[at + RC] = rc + dt * cc + (qc * dt2) / 2;
    x[at + CC] = cc + qc * dt;
  }

  /** What the strike says if it came so many intervals after the last.
   * @returns logarithm of its likelihood, by seconds */
  compare(steps: number, timeVar: number): number {
    let most = -Infinity;
    for (let m = 0; m < N; m++) {
      const at = m * SIZE;
      const rate = this.#models[at + RATE]!;
      const off = steps - this.#models[at + PLACE]!;
      const variance = this.#models[at + PP]! + rate * rate * timeVar + KINDS[m]!.scatter ** 2;
      const log =
        Math.log(Math.max(1e-3, rate)) - LOG_ROOT_2PI - 0.5 * (Math.log(variance) + (off * off) / variance);
      this.#logLikelihood[m] = log;
      most = Math.max(most, Math.log(this.#weight[m]! + 1e-300) + log);
    }
    let sum = 0;
    for (let m = 0; m < N; m++) sum += this.#weight[m]! * Math.exp(this.#logLikelihood[m]! - most);
    return most + Math.log(sum);
  }

  /** Takes the strike last compared. */
  update(steps: number, timeVar: number): void {
    let most = -Infinity;
    for (let m = 0; m < N; m++) {
      this.#updateOne(m * SIZE, KINDS[m]!, steps, timeVar);
      this.#logLikelihood[m]! += Math.log(this.#weight[m]! + 1e-12);
      most = Math.max(most, this.#logLikelihood[m]!);
    }
    let sum = 0;
    for (let m = 0; m < N; m++) sum += this.#weight[m] = Math.exp(this.#logLikelihood[m]! - most);
    for (let m = 0; m < N; m++) this.#weight[m]! /= sum;
    this.#sum();
  }

  #updateOne(at: number, { scatter }: Kind, steps: number, timeVar: number): void {
    const x = this.#models;
    const rate = x[at + RATE]!;
    const pp = x[at + PP]!;
    const pr = x[at + PR]!;
    const pc = x[at + PC]!;
    const off = steps - x[at + PLACE]!;
    const variance = pp + rate * rate * timeVar + scatter * scatter;
    const kp = pp / variance;
    const kr = pr / variance;
    const kc = pc / variance;
    x[at + PLACE] = x[at + PLACE]! + kp * off - steps;
    x[at + RATE] = Math.max(0.3 * rate, rate + kr * off);
    x[at + CHANGE]! += kc * off;
    x[at + PP]! -= kp * pp;
    x[at + PR]! -= kp * pr;
    x[at + PC]! -= kp * pc;
    x[at + RR]! -= kr * pr;
    x[at + RC]! -= kr * pc;
    x[at + CC]! -= kc * pc;
  }

  /** The beat starts anew at the strike, as fast as before. @param loosenedBy share of the rate that may have changed */
  anchor(timeVar: number, loosenedBy: number): void {
    const x = this.#models;
    for (let m = 0; m < N; m++) {
      const at = m * SIZE;
      const rate = x[at + RATE]!;
      x[at + PLACE] = x[at + PR] = x[at + PC] = 0;
      x[at + PP] = rate * rate * timeVar + KINDS[m]!.scatter ** 2;
      x[at + RR]! += (loosenedBy * rate) ** 2;
    }
    this.#sum();
  }

  /** Each model starts from what all know, as far as the engine may have changed its way of running. */
  #mix(): void {
    const mixed = this.#mixed.fill(0);
    const x = this.#models;
    for (let to = 0; to < N; to++) {
      const into = to * SIZE;
      let total = 0;
      for (let from = 0; from < N; from++) total += this.#weight[from]! * TRANSITIONS[from * N + to]!;
      for (let from = 0; from < N; from++) {
        const share = (this.#weight[from]! * TRANSITIONS[from * N + to]!) / total;
        for (let k = 0; k < 3; k++) mixed[into + k]! += share * x[from * SIZE + k]!;
      }
      for (let from = 0; from < N; from++)
        this.#addSpread(
          mixed,
          into,
          from * SIZE,
          (this.#weight[from]! * TRANSITIONS[from * N + to]!) / total,
        );
      this.#logLikelihood[to] = total;
      if (KINDS[to]!.change === 0)
        mixed[into + CHANGE] = mixed[into + PC] = mixed[into + RC] = mixed[into + CC] = 0;
    }
    x.set(mixed);
    this.#weight.set(this.#logLikelihood);
  }

  /** Where strikes are missing the engine may have changed its way of running in each interval. */
  #mixWeights(): void {
    for (let to = 0; to < N; to++) {
      let total = 0;
      for (let from = 0; from < N; from++) total += this.#weight[from]! * TRANSITIONS[from * N + to]!;
      this.#logLikelihood[to] = total;
    }
    this.#weight.set(this.#logLikelihood);
  }

  #addSpread(mixed: Float64Array, into: number, from: number, share: number): void {
    const x = this.#models;
    const p = x[from + PLACE]! - mixed[into + PLACE]!;
    const r = x[from + RATE]! - mixed[into + RATE]!;
    const c = x[from + CHANGE]! - mixed[into + CHANGE]!;
    mixed[into + PP]! += share * (x[from + PP]! + p * p);
    mixed[into + PR]! += share * (x[from + PR]! + p * r);
    mixed[into + PC]! += share * (x[from + PC]! + p * c);
    mixed[into + RR]! += share * (x[from + RR]! + r * r);
    mixed[into + RC]! += share * (x[from + RC]! + r * c);
    mixed[into + CC]! += share * (x[from + CC]! + c * c);
  }

  /** Place, rate and change over all models, then the upper triangle of their covariance, as they stand now.
   * @param into nine numbers */
  moments(into: Float64Array): void {
    into.fill(0);
    let total = 0;
    for (let m = 0; m < N; m++) if (this.#weight[m]! >= LEAST_WEIGHT) total += this.#weight[m]!;
    for (let m = 0; m < N; m++) {
      const share = this.#weight[m]! >= LEAST_WEIGHT ? this.#weight[m]! / total : 0;
      for (let k = 0; k < 3; k++) into[k]! += share * this.#models[m * SIZE + k]!;
    }
    for (let m = 0; m < N; m++)
      if (this.#weight[m]! >= LEAST_WEIGHT) this.#addSpread(into, 0, m * SIZE, this.#weight[m]! / total);
  }

  /** Mean and variance over all models. */
  #sum(): void {
    const x = this.#models;
    let total = 0;
    let mean = 0;
    for (let m = 0; m < N; m++) {
      if (this.#weight[m]! < LEAST_WEIGHT) continue;
      total += this.#weight[m]!;
      mean += this.#weight[m]! * x[m * SIZE + RATE]!;
    }
    mean /= total;
    let variance = 0;
    for (let m = 0; m < N; m++)
      if (this.#weight[m]! >= LEAST_WEIGHT)
        variance += (this.#weight[m]! / total) * (x[m * SIZE + RR]! + (x[m * SIZE + RATE]! - mean) ** 2);
    this.rateHz = mean;
    this.rateVar = variance;
  }
}
