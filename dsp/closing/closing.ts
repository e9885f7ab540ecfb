/** An impulse that stands at a steady share of the way from strike to strike: strikes and the samples behind them in; its
 * place with its deviation out, or why there is none. One thread; memory stays the same. Knows seconds; nothing of points. */
import type { SampleRing } from '../sound/sample-ring';
import { ClusterFinder } from './clusters';
import { IntervalPeaks } from './interval-peaks';
import { PeakTable } from './peak-table';
import { steadyPlace, type SteadyPlace } from './steady-place';

export type NoClosingReason =
  /** Not enough intervals yet. */
  | 'too few strikes'
  /** Intervals in turn are of different lengths. */
  | 'uneven beat'
  /** Nothing keeps to its place. */
  | 'not seen'
  /** Something does, and may keep to its time as well: the speed did not change enough to tell. */
  | 'speed unchanged'
  /** More than one does. */
  | 'several';

export interface Closing {
  /** null where none can be told. */
  readonly place: SteadyPlace | null;
  readonly reason: NoClosingReason | null;
  /** Intervals that it rests on. */
  readonly intervals: number;
}

const BLANK_S = { after: 0.7e-3, before: 0.5e-3 } as const;
/** An interval is one if it is as long as the rate says, within this share. */
const LENGTH_OFF = 0.2;
const LEAST_INTERVALS = 40;
const LOOK_EVERY_S = 1;
/** After so long without a strike the engine may have been worked on. */
const REST_S = 3;
/** So clearly it must keep to a share rather than to a time; above the second figure that stays open. */
const LEAST_CLEARNESS = 7;
const OPEN_CLEARNESS = -3;
/** Another place that may as well be it. */
const OTHER_CLEARNESS = 2;
/** A closing is smaller than this share of the strike; where strikes may be repeated, which are taller, smaller still. */
const MOST_HEIGHT = 0.6;
const MOST_HEIGHT_AMONG_REPEATS = 0.3;
/** Nearer to each other, or so much smaller, the second is the first one's after-swing. */
const ONE_IMPULSE_S = 1.2e-3;
const AFTER_SWING = 0.2;

export class ClosingWatch {
  readonly #peaks: IntervalPeaks;
  readonly #table: PeakTable;
  readonly #finder = new ClusterFinder();
  #lastS = -Infinity;
  #lastHeight = 0;
  /** Samples lost by now, and up to when the count before holds. */
  #lost = 0;
  #lostBefore = 0;
  #lostAtS = -Infinity;
  #intervals = 0;
  #uneven = 0;
  #nextLookS = 0;
  #closing: Closing = { place: null, reason: 'too few strikes', intervals: 0 };

  constructor(
    ring: SampleRing,
    private readonly sampleRateHz: number,
    private readonly limits: {
      readonly shortestS: number;
      readonly longestS: number;
      readonly repeatShare: number;
    },
  ) {
    this.#peaks = new IntervalPeaks(ring, sampleRateHz);
    this.#table = new PeakTable(limits.shortestS, limits.longestS);
  }

  get closing(): Closing {
    return this.#closing;
  }

  /** Samples went missing. @param lost all so far @param atS when */
  lose(lost: number, atS: number): void {
    [this.#lostBefore, this.#lost, this.#lostAtS] = [this.#lost, lost, atS];
  }

  /** @param timeS of a strike, rising; lost samples counted @param height as the samples' @param rateHz null: not known */
  strike(timeS: number, height: number, rateHz: number | null): void {
    const lengthS = timeS - this.#lastS;
    if (lengthS > REST_S) this.#startAnew(timeS);
    else if (rateHz !== null) this.#interval(lengthS, rateHz);
    this.#lastS = timeS;
    this.#lastHeight = height;
    if (timeS >= this.#nextLookS) this.look();
  }

  #startAnew(timeS: number): void {
    this.#table.clear();
    this.#intervals = this.#uneven = 0;
    this.#nextLookS = timeS;
  }

  #interval(lengthS: number, rateHz: number): void {
    if (Math.abs(lengthS * rateHz - 1) > LENGTH_OFF) this.#uneven++;
    else if (lengthS > BLANK_S.after + BLANK_S.before && this.#find(lengthS)) this.#intervals++;
  }

  #find(lengthS: number): boolean {
    const fromS = this.#lastS;
    if (fromS <= this.#lostAtS && this.#lostAtS < fromS + lengthS + 1e-3) return false;
    const lost = fromS > this.#lostAtS ? this.#lost : this.#lostBefore;
    const place = fromS * this.sampleRateHz - lost;
    const from = place + BLANK_S.after * this.sampleRateHz;
    const until = place + (lengthS - BLANK_S.before) * this.sampleRateHz;
    if (!this.#peaks.find(from, until)) return false;
    this.#table.add(lengthS, this.#lastHeight, place, this.#peaks, this.sampleRateHz);
    return true;
  }

  /** Judges what came so far. */
  look(): void {
    this.#nextLookS = this.#lastS + LOOK_EVERY_S;
    this.#closing = { ...this.#judged(), intervals: this.#intervals };
  }

  #judged(): Omit<Closing, 'intervals'> {
    if (this.#uneven > this.#intervals && this.#uneven >= LEAST_INTERVALS)
      return { place: null, reason: 'uneven beat' };
    if (this.#intervals < LEAST_INTERVALS) return { place: null, reason: 'too few strikes' };
    const places = this.#finder
      .find(this.#table, BLANK_S)
      .map((cluster) => steadyPlace(this.#table, cluster))
      .filter((place) => place !== null && place.height < this.#mostHeight(place)) as SteadyPlace[];
    const clear = apart(places.filter(({ clearness }) => clearness > OTHER_CLEARNESS));
    const best = clear.find(({ clearness }) => clearness > LEAST_CLEARNESS) ?? null;
    if (best) return clear.length === 1 ? { place: best, reason: null } : { place: null, reason: 'several' };
    const isOpen = places.some(({ clearness }) => clearness > OPEN_CLEARNESS);
    return { place: null, reason: isOpen ? 'speed unchanged' : 'not seen' };
  }

  #mostHeight({ share }: SteadyPlace): number {
    return share < 1.1 * this.limits.repeatShare ? MOST_HEIGHT_AMONG_REPEATS : MOST_HEIGHT;
  }
}

/** Of two swings of one impulse the taller. */
function apart(places: readonly SteadyPlace[]): SteadyPlace[] {
  const byHeight = [...places].sort((a, b) => b.height - a.height);
  const kept: SteadyPlace[] = [];
  for (const place of byHeight)
    if (
      place.height > AFTER_SWING * (kept[0]?.height ?? 0) &&
      kept.every((other) => Math.abs(other.afterS - place.afterS) > ONE_IMPULSE_S)
    )
      kept.push(place);
  return kept;
}
