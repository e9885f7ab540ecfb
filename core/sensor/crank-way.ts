/** What the pulses of a window leave open of the crank's way: a moment in; turns, speed and variance there out. The
 * acceleration wanders, for good or so that cycles give back what they gained; besides, one thing may have happened: it
 * jumped somewhere, a pulse stands wrong, a turn too many or too few was counted, or sound was lost. All that may be is
 * weighed by how well it explains the pulses, and none of it is decided on: where two explanations differ, the variance
 * says so. Arithmetic on arrays made once.
 * @source Universal kriging: a way of which nothing is known beforehand but that its acceleration is a random walk, told by
 * contrasts blind to a parabola (Matheron 1973, from memory); Bayes' rule over what may have happened */
import { CrankAim } from './crank-aim';
import { CrankFactors } from './crank-factors';
import {
  COUNTED_WRONG_SHARE,
  FIRST_SETTLING,
  JUMPS_A_TURN,
  JUMP_SIZES,
  LEARNT_OVER,
  LEAST_SHARE,
  MISCOUNTS,
  MISCOUNT_SHARE,
  SIZES,
  SLIP_SHARE,
  SLIP_SIZES,
  WANDERS,
  WRONG_SHARE,
  WRONG_SIZES,
} from './crank-happenings';
import { MOST_CONTRASTS, MOST_HAPPENINGS, type CrankWindow } from './crank-window';

/** Explanations whose odds are worse by this factor, as a logarithm, are left out. */
const NEGLIGIBLE = 20;
const LEAST_ODDS = 1e-8;
const M = MOST_CONTRASTS;

export interface CrankEstimate {
  /** Turns, from the window's zero. */
  turns: number;
  turnsVariance: number;
  /** Turns in a unit of the window's time. */
  speed: number;
}

export class CrankWay {
  readonly #factors: CrankFactors;
  readonly #aim: CrankAim;
  readonly #speedAim: CrankAim;
  readonly #prior = new Float64Array(WANDERS.length).fill(1 / WANDERS.length);
  /** Of each wander: the contrasts told, divided by its factor, the odds where nothing happened, and what could yet be
   * explained. */
  readonly #told = new Float64Array(WANDERS.length * M);
  readonly #plain = new Float64Array(WANDERS.length);
  readonly #chi = new Float64Array(WANDERS.length);
  readonly #isWeighed = new Uint8Array(WANDERS.length);
  /** Of each wander and happening: its contrasts, divided likewise. */
  readonly #first = new Float64Array(WANDERS.length * MOST_HAPPENINGS * M);
  readonly #second = new Float64Array(WANDERS.length * MOST_HAPPENINGS * M);
  /** Of the happening divided last: products of its first and second contrasts and of those told. */
  readonly #products = { ff: 0.5, fs: 0.5, ss: 0.5, ft: 0.5, st: 0.5 };
  /** Of each size besides: odds, sizes and their covariances. */
  readonly #odds = new Float64Array(WANDERS.length * MOST_HAPPENINGS * SIZES);
  readonly #sizes = new Float64Array(WANDERS.length * MOST_HAPPENINGS * SIZES * 5);
  readonly #sums = new Float64Array(WANDERS.length);
  readonly #mixed = new Float64Array(M);
  readonly #lean = new Float64Array(M);
  readonly #speedLean = new Float64Array(M);
  #best = 0;
  #sum = 0;
  // of what is being told: off the parabola's turns and speed
  #turns = 0;
  #square = 0;
  #speed = 0;
  /** The happening of the interval that it lies in, and the share of that which has passed. */
  #ownInterval = -1;
  #passed = 0;

  constructor(private readonly window: CrankWindow) {
    this.#factors = new CrankFactors(window);
    this.#aim = new CrankAim(window, 'turns');
    this.#speedAim = new CrankAim(window, 'speed');
  }

  /** The window is laid anew. @param learns the engine's wander is learnt from it */
  weigh(learns: boolean): void {
    this.#factors.fill();
    this.#best = -Infinity;
    for (let q = 0; q < WANDERS.length; q++) this.#weighPlain(q);
    for (let q = 0; q < WANDERS.length; q++) {
      // whatever happened, it cannot explain more than all of the contrasts
      this.#isWeighed[q] = +(this.#plain[q]! + this.#chi[q]! / 2 > this.#best - NEGLIGIBLE);
      if (this.#isWeighed[q]) this.#weighHappenings(q);
    }
    this.#normalise(learns && this.window.contrasts >= 3);
  }

  #weighPlain(q: number): void {
    const n = this.window.contrasts;
    const logDeterminant = this.#factors.factorise(q);
    this.#factors.divide(q, this.window.told, 0, this.#told, q * M);
    let chi = 0;
    for (let i = 0; i < n; i++) chi += this.#told[q * M + i]! ** 2;
    this.#chi[q] = chi;
    this.#plain[q] = Math.log(this.#prior[q]!) - (chi + logDeterminant) / 2;
    this.#best = Math.max(this.#best, this.#plain[q]!);
  }

  #weighHappenings(q: number): void {
    const { places, count, step } = this.window;
    const jump = Math.log((JUMPS_A_TURN * step) / JUMP_SIZES.length);
    for (let p = 0; p < places; p++) {
      this.#divideHappening(q, p);
      // a place stands for all about it: a jump a little earlier or later is a jump of the speed as well
      for (let s = 0; s < JUMP_SIZES.length; s++)
        this.#weighSize(q, p, s, jump, JUMP_SIZES[s]! ** 2, (JUMP_SIZES[s]! * step) ** 2 / 12);
    }
    const wrong = Math.log(WRONG_SHARE / WRONG_SIZES.length);
    for (let k = 0; k < count; k++) {
      const at = this.window.ofPulse(k);
      this.#divideHappening(q, at);
      for (let s = 0; s < WRONG_SIZES.length; s++) this.#weighSize(q, at, s, wrong, WRONG_SIZES[s]! ** 2, 0);
    }
    const slip = Math.log(SLIP_SHARE / SLIP_SIZES.length);
    for (let k = 0; k < count - 1; k++) {
      this.#weighCount(q, k);
      const at = this.window.ofInterval(k);
      for (let s = 0; s < SLIP_SIZES.length; s++)
        this.#weighSize(q, at, MISCOUNTS.length + s, slip, SLIP_SIZES[s]! ** 2, 0);
    }
  }

  #divideHappening(q: number, happening: number): void {
    const at = (q * MOST_HAPPENINGS + happening) * M;
    this.#factors.divide(q, this.window.first, happening * M, this.#first, at);
    this.#factors.divide(q, this.window.second, happening * M, this.#second, at);
    this.#multiply(q, at);
  }

  /** What a happening's contrasts have of themselves, of each other and of those told: the same whatever its size. */
  #multiply(q: number, at: number): void {
    let ff = 0;
    let fs = 0;
    let ss = 0;
    let ft = 0;
    let st = 0;
    for (let i = 0; i < this.window.contrasts; i++) {
      const first = this.#first[at + i]!;
      const second = this.#second[at + i]!;
      const told = this.#told[q * M + i]!;
      ff += first * first;
      fs += first * second;
      ss += second * second;
      ft += first * told;
      st += second * told;
    }
    const products = this.#products;
    products.ff = ff;
    products.fs = fs;
    products.ss = ss;
    products.ft = ft;
    products.st = st;
  }

  /** A happening of unknown size, normal about zero with these variances: its odds, and the size that the pulses tell.
   * @source Woodbury's identity for a covariance with two further directions */
  #weighSize(
    q: number,
    happening: number,
    s: number,
    log: number,
    firstPrior: number,
    secondPrior: number,
  ): void {
    const { ff, fs, ss, ft, st } = this.#products;
    // prior times (1 + information times prior)⁻¹, written out so that a prior of zero stays one
    const determinant = (1 + firstPrior * ff) * (1 + secondPrior * ss) - firstPrior * secondPrior * fs * fs;
    const firstVariance = (firstPrior * (1 + secondPrior * ss)) / determinant;
    const covariance = (-firstPrior * secondPrior * fs) / determinant;
    const secondVariance = (secondPrior * (1 + firstPrior * ff)) / determinant;
    const first = firstVariance * ft + covariance * st;
    const second = covariance * ft + secondVariance * st;
    const odds = this.#plain[q]! + log + (first * ft + second * st - Math.log(determinant)) / 2;
    this.#note(q, happening, s, odds, first, second, firstVariance, covariance, secondVariance);
  }

  /** The interval after a pulse holds a turn more, or less, than was counted. */
  #weighCount(q: number, k: number): void {
    const { window } = this;
    const happening = window.ofInterval(k);
    this.#divideHappening(q, happening);
    const { ff, ft } = this.#products;
    const log = Math.log(window.isCounted[k] ? COUNTED_WRONG_SHARE : MISCOUNT_SHARE);
    for (let s = 0; s < MISCOUNTS.length; s++) {
      const more = MISCOUNTS[s]!;
      const canBe = window.turn[k + 1]! - window.turn[k]! + more > 0.5;
      const odds = this.#plain[q]! + log - more * ft - ff / 2;
      // the turns told lack it: what happened to them is its opposite
      this.#note(q, happening, s, canBe ? odds : -Infinity, -more, 0, 0, 0, 0);
    }
  }

  #note(
    q: number,
    happening: number,
    s: number,
    odds: number,
    first: number,
    second: number,
    firstVariance: number,
    covariance: number,
    secondVariance: number,
  ): void {
    const at = (q * MOST_HAPPENINGS + happening) * SIZES + s;
    const sizes = this.#sizes;
    this.#odds[at] = odds;
    sizes[5 * at] = first;
    sizes[5 * at + 1] = second;
    sizes[5 * at + 2] = firstVariance;
    sizes[5 * at + 3] = covariance;
    sizes[5 * at + 4] = secondVariance;
    this.#best = Math.max(this.#best, odds);
  }

  /** Odds to shares of the largest; what the wanders have of all is learnt. */
  #normalise(learns: boolean): void {
    const sums = this.#sums;
    this.#sum = 0;
    for (let q = 0; q < WANDERS.length; q++) {
      this.#plain[q] = Math.exp(this.#plain[q]! - this.#best);
      sums[q] = this.#plain[q]! + (this.#isWeighed[q] ? this.#shareOut(q) : 0);
      this.#sum += sums[q]!;
    }
    if (!learns) return;
    let all = 0;
    for (let q = 0; q < WANDERS.length; q++) {
      const change = (sums[q]! / this.#sum - this.#prior[q]!) / LEARNT_OVER;
      all += this.#prior[q] = Math.max(LEAST_SHARE, this.#prior[q]! + change);
    }
    for (let q = 0; q < WANDERS.length; q++) this.#prior[q]! /= all;
  }

  #shareOut(q: number): number {
    let sum = 0;
    for (let happening = 0; happening < this.#happenings; happening++) {
      const at = (q * MOST_HAPPENINGS + happening) * SIZES;
      for (let s = 0; s < this.#sizesOf(happening); s++)
        sum += this.#odds[at + s] = Math.exp(this.#odds[at + s]! - this.#best);
    }
    return sum;
  }

  get #happenings(): number {
    return this.window.places + 2 * this.window.count - 1;
  }

  #sizesOf(happening: number): number {
    const { places, count } = this.window;
    if (happening < places) return JUMP_SIZES.length;
    return happening < places + count ? WRONG_SIZES.length : SIZES;
  }

  /** After `weigh`. @param time of a moment @param near the first of the three pulses beside it @param before the pulse
   * before it */
  at(time: number, near: number, before: number, out: CrankEstimate): void {
    this.#aim.set(time, near, before);
    this.#speedAim.set(time, near, before);
    this.#turns = 0;
    this.#square = 0;
    this.#speed = 0;
    const { window } = this;
    const isWithin = before < window.count - 1 && time >= window.time[before]!;
    this.#ownInterval = isWithin ? window.ofInterval(before) : -1;
    this.#passed = (time - window.time[before]!) / (window.time[before + 1]! - window.time[before]!);
    for (let q = 0; q < WANDERS.length; q++) this.#tell(q);
    out.turns = this.#aim.value + this.#turns;
    out.speed = this.#speedAim.value + this.#speed;
    out.turnsVariance = Math.max(0, this.#square - this.#turns ** 2);
  }

  /** What one wander says, by each thing that may have happened, added by its share. */
  #tell(q: number): void {
    const turns = this.#leanOf(q, this.#aim, this.#lean);
    const speed = this.#leanOf(q, this.#speedAim, this.#speedLean);
    const own = q < FIRST_SETTLING ? this.#aim.ownVariance : this.#aim.settlingVariance;
    let variance = WANDERS[q]! ** 2 * own + this.#aim.noise;
    for (let i = 0; i < this.window.contrasts; i++) variance -= this.#lean[i]! ** 2;
    this.#add(this.#plain[q]!, turns, variance, speed);
    if (!this.#isWeighed[q]) return;
    for (let happening = 0; happening < this.#happenings; happening++)
      this.#tellHappening(q, happening, turns, variance, speed);
  }

  #tellHappening(q: number, happening: number, turns: number, variance: number, speed: number): void {
    const from = (q * MOST_HAPPENINGS + happening) * SIZES;
    const isInterval = happening >= this.window.places + this.window.count;
    let isKnown = false;
    let [first, second, speedFirst, speedSecond] = [0, 0, 0, 0];
    for (let at = from; at < from + this.#sizesOf(happening); at++) {
      if (this.#odds[at]! < LEAST_ODDS * this.#sum) continue;
      if (!isKnown) {
        first = this.#effect(q, happening, this.#aim.first, this.#lean, this.#first);
        second = this.#effect(q, happening, this.#aim.second, this.#lean, this.#second);
        speedFirst = this.#effect(q, happening, this.#speedAim.first, this.#speedLean, this.#first);
        speedSecond = this.#effect(q, happening, this.#speedAim.second, this.#speedLean, this.#second);
        isKnown = true;
      }
      const sizes = this.#sizes;
      let more = first * sizes[5 * at]! + second * sizes[5 * at + 1]!;
      if (isInterval && at < from + MISCOUNTS.length) more -= Math.round(more); // a whole turn off is the same place
      const own =
        first * first * sizes[5 * at + 2]! +
        2 * first * second * sizes[5 * at + 3]! +
        second * second * sizes[5 * at + 4]!;
      const faster = speedFirst * sizes[5 * at]! + speedSecond * sizes[5 * at + 1]!;
      const odds = this.#odds[at]!;
      if (happening !== this.#ownInterval || at < from + MISCOUNTS.length) {
        this.#add(odds, turns + more, variance + own, speed + faster);
        continue;
      }
      // sound lost in the moment's own interval went before it or after it
      const [lost, lostToo] = [sizes[5 * at]!, sizes[5 * at + 2]! * (1 + 2 * first)];
      this.#add(odds * (1 - this.#passed), turns + more, variance + own, speed + faster);
      this.#add(odds * this.#passed, turns + more + lost, variance + own + lostToo, speed + faster);
    }
  }

  #add(odds: number, turns: number, variance: number, speed: number): void {
    const share = odds / this.#sum;
    this.#turns += share * turns;
    this.#square += share * (turns * turns + variance);
    this.#speed += share * speed;
  }

  /** By how much the contrasts told move what the parabola says. @param lean filled with how strongly each does */
  #leanOf(q: number, aim: CrankAim, lean: Float64Array): number {
    const variance = WANDERS[q]! ** 2;
    const own = q < FIRST_SETTLING ? aim.own : aim.settling;
    for (let i = 0; i < this.window.contrasts; i++) this.#mixed[i] = variance * own[i]! - aim.shared[i]!;
    this.#factors.divide(q, this.#mixed, 0, lean, 0);
    let sum = 0;
    for (let i = 0; i < this.window.contrasts; i++) sum += lean[i]! * this.#told[q * M + i]!;
    return sum;
  }

  /** What a happening of size one adds beside what the contrasts already told of it. */
  #effect(q: number, happening: number, adds: Float64Array, lean: Float64Array, of: Float64Array): number {
    const at = (q * MOST_HAPPENINGS + happening) * M;
    let sum = adds[happening]!;
    for (let i = 0; i < this.window.contrasts; i++) sum -= lean[i]! * of[at + i]!;
    return sum;
  }
}
