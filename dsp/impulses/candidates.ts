/** Impulses that may be strikes: a ring of plain columns, oldest overwritten. Knows no rate. */

import type { PulseSpeed } from '../sound/condition';

/** How long after an impulse its echoes come, and how tall they may seem beside it. */
const ECHOES = {
  sharp: { withinS: 2.6e-3, share: 1.05 },
  slow: { withinS: 3.2e-3, share: 1.4 },
} as const;

/** Ten seconds of the strikes of many leads with their ringing. */
const CAPACITY = 1 << 15;
const MASK = CAPACITY - 1;

/** Columns are read with `at(i)`: candidate numbers rise for ever, from `first` to before `end`. */
export class Candidates {
  /** Seconds since the first sample, lost samples counted; between samples. */
  readonly timeS = new Float64Array(CAPACITY);
  /** Peak of the smoothed signal, share of full scale. */
  readonly peak = new Float64Array(CAPACITY);
  /** +1 or -1 */
  readonly sign = new Int8Array(CAPACITY);
  /** Standard deviation of the smoothed noise there. */
  readonly noise = new Float64Array(CAPACITY);
  /** Where it stands among the samples, between them, lost ones not counted. */
  readonly place = new Float64Array(CAPACITY);
  /** Variance of the time, seconds squared. */
  readonly timeVar = new Float64Array(CAPACITY);
  /** What it costs to leave it out, natural logarithm: 0 but where it is known for a strike. */
  readonly leftOutCost = new Float64Array(CAPACITY);
  end = 0;
  readonly #echo: { readonly withinS: number; readonly share: number };

  /** @param pulses what is looked for: the edges of slow pulses echo for longer and nearly as tall
   * @param standsOver so many times over the noise an impulse must stand to be looked at before a beat is known
   * @param areMirrored times are those before an instant: what comes after a candidate happened before it */
  constructor(
    pulses: PulseSpeed,
    readonly standsOver = 0,
    private readonly areMirrored = false,
  ) {
    this.#echo = ECHOES[pulses];
  }

  /** Forgets all; numbers go on from 0. */
  clear(): void {
    this.end = 0;
  }
  get first(): number {
    return Math.max(0, this.end - CAPACITY);
  }
  /** Where a candidate's values stand in the columns. */
  at(number: number): number {
    return number & MASK;
  }
  add(timeS: number, peak: number, sign: number, noise: number, place: number, timeVar: number): void {
    const i = this.end++ & MASK;
    this.timeS[i] = timeS;
    this.peak[i] = peak;
    this.sign[i] = sign;
    this.noise[i] = noise;
    this.place[i] = place;
    this.timeVar[i] = timeVar;
    this.leftOutCost[i] = 0;
  }
  /** Height of the tallest of the same sign that came shortly before, 0 where none did.
   * @param withinS no sooner than this @param notWithinS and this long before at the least */
  tallestBefore(candidate: number, withinS: number, notWithinS: number): number {
    const i = candidate & MASK;
    const step = this.areMirrored ? 1 : -1;
    let tallest = 0;
    for (let b = candidate + step; b >= this.first && b < this.end; b += step) {
      const beforeS = Math.abs(this.timeS[b & MASK]! - this.timeS[i]!);
      if (beforeS >= withinS) break;
      if (this.sign[b & MASK] === this.sign[i] && beforeS > notWithinS)
        tallest = Math.max(tallest, this.peak[b & MASK]!);
    }
    return tallest;
  }
  /** Whether something as tall, of either sign, came shortly before: then this is its kick, ringing or other edge.
   * @param withinS not looked at further back than this, where strikes come fast @param swingS what stands nearer is no
   * other impulse but the same one's other swing @param share how tall an echo may be by what it echoes */
  isEcho(candidate: number, withinS: number, swingS = 0, share: number = this.#echo.share): boolean {
    const i = candidate & MASK;
    const sinceS = this.timeS[i]! - Math.min(withinS, this.#echo.withinS);
    const least = this.peak[i]! / share;
    for (let b = candidate - 1; b >= this.first && this.timeS[b & MASK]! > sinceS; b--)
      if (this.peak[b & MASK]! > least && this.timeS[i]! - this.timeS[b & MASK]! >= swingS) return true;
    return false;
  }
}
