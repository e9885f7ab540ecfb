/** Edges whose times are known already, followed like strikes: times in, accepted edges with the rate at each out. The
 * same search, tracker and rate as for sound; sees no sample. One thread, no clock. */
import { findBeat } from './search/acquire';
import { BeatFollower, type Lone, type Refining, type Sought } from './beat/beat-follower';
import type { Beat, BeatLimits } from './beat/beat-limits';
import { Candidates } from './impulses/candidates';
import { CLEARLY } from './beat/following';
import type { Smoothing, Strike } from './strike-chain';

/** An edge is known so long after it. */
const KNOWN_AFTER_S = 1.6e-3;

/** Takes each edge as it is. */
class AsTheyAre implements Refining {
  readonly found = new Candidates('sharp');
  readonly refined = new Candidates('sharp');
  readonly following = CLEARLY;
  level = 0;
  #taken = 0;
  #sign = 1;
  readonly heard = null;

  constructor(private readonly limits: BeatLimits) {}

  seek(from: number, _sinceS: number, nowS: number, last: boolean): Sought {
    return { beat: findBeat(this.found, from, nowS, this.limits, last), from };
  }

  begin({ strikes, sign }: Beat): boolean {
    const { found } = this;
    this.refined.clear();
    this.#taken = strikes[0]!;
    this.#sign = sign;
    this.level = strikes.reduce((sum, c) => sum + found.peak[found.at(c)]!, 0) / strikes.length;
    return true;
  }

  earlier(): readonly Lone[] {
    return []; // an edge has no shape to be known by
  }

  step(): boolean {
    const { found, refined } = this;
    if (this.#taken >= found.end) return false;
    const i = found.at(this.#taken++);
    const sign = found.sign[i]! * this.#sign;
    refined.add(found.timeS[i]!, found.peak[i]!, sign, found.noise[i]!, found.place[i]!, found.timeVar[i]!);
    return true;
  }

  accept(): void {
    // nothing is learnt from an edge
  }
}

export interface EdgeOptions {
  /** Rates that can be, hertz. */
  readonly lowestRateHz: number;
  readonly highestRateHz: number;
  /** After so many edges intervals may repeat: 1 where not said. */
  readonly patternLength?: number;
  /** An edge may be repeated over this share of the mean interval; only the first counts. 0.03 where not said. */
  readonly repeatShare?: number;
}

export class EdgeFollower {
  readonly #source: AsTheyAre;
  readonly #follower: BeatFollower;

  /** @param onEdge told of each accepted edge, in order of time; the object is used again
   * @throws RangeError if the rates cannot be */
  constructor(
    options: EdgeOptions,
    onEdge: (edge: Readonly<Strike>) => void,
    smoothing: Smoothing | null = null,
  ) {
    const { lowestRateHz, highestRateHz, patternLength = 1, repeatShare = 0.03 } = options;
    if (!(lowestRateHz > 0 && highestRateHz > lowestRateHz))
      throw new RangeError(`rates must rise from above 0, got ${lowestRateHz} to ${highestRateHz} Hz`);
    const limits: BeatLimits = {
      shortestS: 1 / highestRateHz,
      longestS: 1 / lowestRateHz,
      patternLength,
      repeatShare,
      twoEdges: false,
    };
    this.#source = new AsTheyAre(limits);
    this.#follower = new BeatFollower(this.#source, limits, onEdge, smoothing);
  }

  /** @param timeS after the last @param timeSdS standard deviation of that time, seconds @param height any unit, above 0 */
  push(timeS: number, timeSdS: number, height = 1): void {
    this.#source.found.add(timeS, height, 1, height / 1000, timeS, timeSdS * timeSdS);
  }

  /** No edge comes before this any more. */
  follow(nowS: number): void {
    this.#follower.follow(nowS - KNOWN_AFTER_S, false);
  }

  /** No more comes. */
  finish(nowS: number): void {
    this.#follower.finish(nowS);
  }

  get slips(): number {
    return this.#follower.slips;
  }
  get slippedS(): number {
    return this.#follower.slippedS;
  }
  get missed(): number {
    return this.#follower.missed;
  }
}
