/** The rate of a beat: strike times in, hertz with its standard deviation out, each from the strikes up to it. Several
 * filters, from an engine held steady to one blipped, weighed by how well each foretold (an interacting multiple
 * model). @source Blom & Bar-Shalom, IEEE Trans. Automatic Control 33 (1988) 780-783 (memory) */
import { PeriodFilter, type Restlessness } from './period-filter';

interface Kind extends Restlessness {
  /** How restless, from 0: an engine seldom goes far in one strike. */
  readonly level: number;
}
const KINDS: readonly Kind[] = [
  { level: 0, walk: 1e-5, change: 0, scatter: 0 }, // held
  { level: 0, walk: 1e-5, change: 0, scatter: 3e-4 },
  { level: 0, walk: 1e-4, change: 0, scatter: 2.5e-3 },
  { level: 1, walk: 4e-4, change: 0, scatter: 0 },
  { level: 1, walk: 0, change: 2e-4, scatter: 1e-4 }, // swept
  { level: 2, walk: 3e-3, change: 0, scatter: 0 },
  { level: 3, walk: 0.02, change: 0, scatter: 0 },
  { level: 2, walk: 5e-4, change: 4e-3, scatter: 0 },
  { level: 4, walk: 0.06, change: 0, scatter: 0 }, // rough idle
  { level: 4, walk: 0.01, change: 0.12, scatter: 0 }, // blipped
];
/** Chance of another way of running at the next strike, by how far its level lies. */
const CHANGES = [0.01, 6e-3, 2e-3, 4e-4, 6e-5] as const;
/** Sound lost unseen, and strikes in it, move the beat by up to this either way, with this chance at a strike. */
const JUMP_S = 0.05;
const JUMP_CHANCE = 6e-3;

/** A strike off its time may be the start of a blip all the same: this share of it may be the engine's. */
const DOUBT = 0.3;
/** The first interval may be off the later ones by so much, natural logarithm. */
const JUMPED_AT_START = 0.15;

/** By kind from and to. */
const TRANSITIONS: readonly Float64Array[] = KINDS.map(({ level: from }, i) => {
  const row = Float64Array.from(KINDS, ({ level }, j) => (i === j ? 0 : CHANGES[Math.abs(level - from)]!));
  row[i] = 1 - row.reduce((sum, chance) => sum + chance, 0);
  return row;
});

export class RateFilter {
  readonly #filters = KINDS.map((kind) => new PeriodFilter(kind));
  readonly #weight = new Float64Array(KINDS.length);
  readonly #mixed = KINDS.map(() => new Float64Array(9));
  readonly #logWeight = new Float64Array(KINDS.length);
  #strikes = 0;
  #lastS = 0;
  #lastVar = 0;
  #aboutS = 0;
  /** Mean interval at the last strike and its variance; null before two strikes. */
  periodS: number | null = null;
  periodVar = 0;

  /** Forgets all. @param aboutS what the interval is about, from the search that found the beat */
  reset(aboutS: number): void {
    this.#strikes = 0;
    this.#aboutS = aboutS;
    this.periodS = null;
  }

  get rateHz(): number | null {
    return this.periodS === null ? null : 1 / this.periodS;
  }
  get rateSdHz(): number | null {
    return this.periodS === null ? null : Math.sqrt(this.periodVar) / (this.periodS * this.periodS);
  }

  /** @param timeS of a strike, after the last @param timeVar of that time @param steps intervals since the last */
  take(timeS: number, timeVar: number, steps: number): void {
    if (this.#strikes === 1) this.#start(timeS, timeVar, steps);
    else if (this.#strikes > 1) this.#follow(timeS, timeVar, steps);
    this.#strikes++;
    this.#lastS = timeS;
    this.#lastVar = timeVar;
  }

  #start(timeS: number, timeVar: number, steps: number): void {
    const seenS = (timeS - this.#lastS) / steps;
    const jumped = Math.abs(Math.log(seenS / this.#aboutS)) > JUMPED_AT_START; // sound was lost just here
    const periodS = jumped ? this.#aboutS : seenS;
    const periodVar = this.#lastVar + timeVar + (0.03 * periodS) ** 2;
    for (const filter of this.#filters) filter.start(timeS, timeVar, periodS, periodVar);
    this.#weight.fill(1 / this.#weight.length);
    this.#sum();
  }

  #follow(timeS: number, timeVar: number, steps: number): void {
    this.#mix();
    let most = -Infinity;
    let doubtVar = 0;
    for (let m = 0; m < this.#filters.length; m++) {
      const filter = this.#filters[m]!;
      filter.predict(steps);
      filter.compare(timeS, timeVar);
      const straight = filter.logLikelihood + Math.log(1 - JUMP_CHANCE);
      const jumped = Math.log((JUMP_CHANCE * Math.sqrt(2 * Math.PI)) / (2 * JUMP_S));
      const jumps = Math.abs(filter.innovationS) < JUMP_S && jumped > straight;
      if (jumps) {
        doubtVar += this.#weight[m]! * (DOUBT * filter.innovationS) ** 2;
        filter.jump(timeS, timeVar);
      } else filter.update();
      this.#logWeight[m] = Math.log(this.#weight[m]! + 1e-12) + (jumps ? jumped : straight);
      most = Math.max(most, this.#logWeight[m]!);
    }
    let sum = 0;
    for (let m = 0; m < this.#weight.length; m++)
      sum += this.#weight[m] = Math.exp(this.#logWeight[m]! - most);
    for (let m = 0; m < this.#weight.length; m++) this.#weight[m]! /= sum;
    this.#sum();
    this.periodVar += doubtVar;
  }

  /** Each filter starts from what all know, as far as the engine may have changed its way of running. */
  #mix(): void {
    const n = this.#filters.length;
    for (let to = 0; to < n; to++) {
      const into = this.#mixed[to]!;
      let total = 0;
      for (let from = 0; from < n; from++) total += this.#weight[from]! * TRANSITIONS[from]![to]!;
      into.fill(0);
      for (let from = 0; from < n; from++) {
        const share = (this.#weight[from]! * TRANSITIONS[from]![to]!) / total;
        const filter = this.#filters[from]!;
        into[0]! += share * filter.timeS;
        into[1]! += share * filter.periodS;
        into[2]! += share * filter.changeS;
      }
      for (let from = 0; from < n; from++) {
        const share = (this.#weight[from]! * TRANSITIONS[from]![to]!) / total;
        addSpread(into, this.#filters[from]!, share);
      }
      this.#logWeight[to] = total;
    }
    for (let m = 0; m < n; m++) {
      const filter = this.#filters[m]!;
      const from = this.#mixed[m]!;
      const moves = filter.restless.change > 0;
      this.#weight[m] = this.#logWeight[m]!;
      filter.timeS = from[0]!;
      filter.periodS = from[1]!;
      filter.changeS = moves ? from[2]! : 0;
      for (let k = 0; k < 6; k++) filter.c[k] = moves || (k !== 2 && k < 4) ? from[3 + k]! : 0;
    }
  }

  /** Mean and variance over all filters. */
  #sum(): void {
    let mean = 0;
    for (let m = 0; m < this.#filters.length; m++) mean += this.#weight[m]! * this.#filters[m]!.periodS;
    let variance = 0;
    for (let m = 0; m < this.#filters.length; m++) {
      const filter = this.#filters[m]!;
      variance += this.#weight[m]! * (filter.c[3]! + (filter.periodS - mean) ** 2);
    }
    this.periodS = mean;
    this.periodVar = variance;
  }
}

function addSpread(into: Float64Array, filter: PeriodFilter, share: number): void {
  const t = filter.timeS - into[0]!;
  const p = filter.periodS - into[1]!;
  const d = filter.changeS - into[2]!;
  const c = filter.c;
  into[3]! += share * (c[0]! + t * t);
  into[4]! += share * (c[1]! + t * p);
  into[5]! += share * (c[2]! + t * d);
  into[6]! += share * (c[3]! + p * p);
  into[7]! += share * (c[4]! + p * d);
  into[8]! += share * (c[5]! + d * d);
}
