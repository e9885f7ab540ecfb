/** Candidates compared with the learned shape: each becomes one impulse with its height, sign and time by the shape, or
 * none where it is another's ringing. Allocates nothing once the shape is known. */
import { Candidates } from './candidates';
import type { PulseSpeed } from './condition';
import type { SampleRing } from './sample-ring';
import { StrikeShape } from './shape';

/** A peak may stand so far from where the shape's own peak lies: its ringing may be taller. */
const SEARCH_S = { sharp: 0.35e-3, slow: 0.6e-3 } as const;
/** Two impulses nearer to each other are one. */
const SAME_S = 0.1e-3;
/** Below this share of the usual peak nothing can be a strike. */
const LEAST_SHARE = 0.08;

export class Refiner {
  /** By the shape. Sign +1: as the shape; -1: upside down. Heights are those of the shape's peak. */
  readonly refined: Candidates;
  readonly shape: StrikeShape;
  readonly #search: number;
  readonly #same: number;
  /** Usual height of a strike by the shape, and candidates taken so far. */
  level = 0;
  taken = 0;

  constructor(
    private readonly found: Candidates,
    private readonly ring: SampleRing,
    private readonly sampleRateHz: number,
    pulses: PulseSpeed,
  ) {
    this.refined = new Candidates(pulses);
    this.shape = new StrikeShape(sampleRateHz, pulses);
    this.#search = Math.ceil(SEARCH_S[pulses] * sampleRateHz);
    this.#same = SAME_S * sampleRateHz;
  }

  /** Learns the shape from a beat's strikes and begins anew at the first of them.
   * @returns whether it could */
  begin(strikes: readonly number[], sign: number): boolean {
    const { found } = this;
    const places = strikes.slice(0, 24).map((c) => found.place[found.at(c)]!);
    const level = this.shape.learn(this.ring, places, sign);
    if (level === null) return false;
    this.level = level;
    this.refined.clear();
    this.taken = strikes[0]!;
    return true;
  }

  /** Takes the next candidate if its samples are there. @returns false if there is none to take yet */
  step(): boolean {
    const { found, ring } = this;
    if (this.taken >= found.end) return false;
    const i = found.at(this.taken);
    const place = found.place[i]!;
    if (place + this.#search + this.shape.samplesAfter > ring.end) return false;
    this.taken++;
    if (found.peak[i]! < LEAST_SHARE * this.level) return true;
    if (this.shape.compare(ring, place, this.#search)) this.#add(i, place);
    return true;
  }

  #add(i: number, place: number): void {
    const { found, refined } = this;
    const { fit } = this.shape;
    for (let r = refined.end - 1; r >= Math.max(0, refined.end - 4); r--)
      if (Math.abs(refined.place[refined.at(r)]! - fit.place) < this.#same) return;
    const timeS = found.timeS[i]! + (fit.place - place) / this.sampleRateHz;
    const sign = fit.amplitude > 0 ? 1 : -1;
    const timeVar = fit.variance / (this.sampleRateHz * this.sampleRateHz);
    refined.add(timeS, Math.abs(fit.amplitude), sign, found.noise[i]!, fit.place, timeVar);
  }

  /** A refined candidate was a strike: the shape and the level follow it. */
  accept(candidate: number): void {
    const { refined } = this;
    const i = refined.at(candidate);
    if (this.shape.compare(this.ring, refined.place[i]!, 1)) this.shape.teach(this.ring);
    this.level += 0.2 * (refined.peak[i]! - this.level);
  }
}
