/** The tallest slow impulses between two strikes: conditioned samples of a ring in, places, signs and heights out. Knows
 * samples only. Allocates nothing while it runs. */
import { Conditioner } from '../sound/condition';
import type { SampleRing } from '../sound/sample-ring';

/** So many impulses of an interval are kept. */
export const PEAKS = 6;
/** What is nearer than this is one impulse. */
const ONE_S = 0.3e-3;
/** An impulse slower than a strike: its rise and fall as time constants, and how long it is compared. The conditioning
 * swings it over; found by both swings, it is timed by its onset. */
const RISE_S = 20e-6;
const FALL_S = 120e-6;
const LENGTH_S = 0.6e-3;
/** Places need stand no closer than this. */
const PLACES_HZ = 22_050;
/** Its height is looked for so long after its onset. */
const HEIGHT_WITHIN_S = 0.15e-3;

export class IntervalPeaks {
  /** How many were found, and their columns, tallest first: place between samples, signed height by the shape, and that of
   * the samples there. */
  count = 0;
  readonly place = new Float64Array(PEAKS);
  readonly fitted = new Float64Array(PEAKS);
  readonly height = new Float64Array(PEAKS);
  readonly #shape: Float64Array;
  readonly #stride: number;
  readonly #apart: number;
  readonly #within: number;

  constructor(
    private readonly ring: SampleRing,
    sampleRateHz: number,
  ) {
    this.#shape = conditionedImpulse(sampleRateHz);
    this.#stride = Math.max(1, Math.floor(sampleRateHz / PLACES_HZ));
    this.#apart = Math.max(2, Math.round((ONE_S * sampleRateHz) / this.#stride));
    this.#within = Math.round(HEIGHT_WITHIN_S * sampleRateHz);
  }

  /** Finds them. @param from first place looked at @param until no place from here on
   * @returns whether the samples are there */
  find(from: number, until: number): boolean {
    this.count = 0;
    const first = Math.ceil(from);
    if (!this.ring.holds(first - this.#stride, Math.ceil(until) + this.#stride + this.#shape.length))
      return false;
    let [best, bestAt, waited] = [0, -1, 0];
    for (let at = first; at < until; at += this.#stride) {
      const value = this.#compared(at);
      if (bestAt < 0 || Math.abs(value) > Math.abs(best)) {
        [best, bestAt, waited] = [value, at, 0];
      } else if (++waited >= this.#apart) {
        if (bestAt > first) this.#keep(bestAt, best);
        [bestAt, waited] = [-1, 0];
      }
    }
    for (let p = 0; p < this.count; p++) this.#measure(p);
    return true;
  }

  /** Height of the shape that begins here, by least squares. */
  #compared(at: number): number {
    const { samples, mask } = this.ring;
    const shape = this.#shape;
    let sum = 0;
    for (let k = 0; k < shape.length; k++) sum += shape[k]! * samples[(at + k) & mask]!;
    return sum;
  }

  /** One impulse among the tallest so far. */
  #keep(at: number, best: number): void {
    let slot = this.count;
    while (slot > 0 && Math.abs(this.fitted[slot - 1]!) < Math.abs(best)) slot--;
    if (slot >= PEAKS) return;
    for (let k = Math.min(this.count, PEAKS - 1); k > slot; k--) {
      this.place[k] = this.place[k - 1]!;
      this.fitted[k] = this.fitted[k - 1]!;
    }
    this.count = Math.min(PEAKS, this.count + 1);
    this.place[slot] = at;
    this.fitted[slot] = best;
  }

  /** Its place between samples by a parabola, and its height. */
  #measure(slot: number): void {
    const at = this.place[slot]!;
    const step = this.#stride;
    const [before, best, after] = [this.#compared(at - step), this.fitted[slot]!, this.#compared(at + step)];
    const bend = before - 2 * best + after;
    const off = bend === 0 ? 0 : (before - after) / (2 * bend);
    this.place[slot] = at + step * Math.max(-1, Math.min(1, off));
    const { samples, mask } = this.ring;
    let most = 0;
    for (let n = at; n <= at + this.#within; n++) most = Math.max(most, Math.abs(samples[n & mask]!));
    this.height[slot] = most;
  }
}

/** The impulse as the conditioning leaves it, divided by its energy: its sum with samples is the height that fits them. */
function conditionedImpulse(sampleRateHz: number): Float64Array {
  const length = Math.round(LENGTH_S * sampleRateHz);
  const raw = Float32Array.from({ length }, (_, n) => {
    const timeS = n / sampleRateHz;
    return (1 - Math.exp(-timeS / RISE_S)) * Math.exp(-timeS / FALL_S);
  });
  const [clean, smooth] = [new Float64Array(length), new Float64Array(length)];
  new Conditioner(sampleRateHz, 'sharp').run(raw, length, clean, smooth);
  const energy = clean.reduce((sum, each) => sum + each * each, 0);
  return clean.map((each) => each / energy);
}
