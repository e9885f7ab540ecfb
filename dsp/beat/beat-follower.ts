/** Impulses in, accepted strikes with the rate at each out: looks for a beat, follows it, gives it up, looks again.
 * Knows times and heights; sees no sample. One thread, no clock; allocates nothing while a beat is followed. */
import { hearsOthers, type Beat, type BeatLimits } from './beat-limits';
import type { Candidates } from '../impulses/candidates';
import { CLEARLY, type Following } from './following';
import type { FollowState } from '../follow-state';
import { LeadWatch } from './lead-watch';
import { CUT_BELOW_S, CUTS_FOR_S, isCut, isSpeedUnknown } from './next-strike';
import { HalfSpeedWatch } from './half-speed-watch';
import { HiddenStrikes, type Heard } from './hidden-strikes';
import { PassedWatch } from './passed-watch';
import { middleOf } from '../quantile-of';
import { RateFilter } from '../rate/rate';
import { RateSmoother } from '../rate/rate-smoother';
import { RecentStrikes } from '../picture/recent-strikes';
import type { Smoothing, Strike } from '../strike-chain';
import type { Decided } from './taken';
import { Tracker } from './tracker';

/** Makes of each impulse found one that is followed: by the learnt shape, or as it is. */
export interface Refining {
  /** Sign +1: as the strike; heights are those of the strike's peak. */
  readonly refined: Candidates;
  /** What is refined, and where a beat is looked for. */
  readonly found: Candidates;
  /** Looks for a beat. @param from the oldest candidate that may begin one @param sinceS nothing before this may */
  seek(from: number, sinceS: number, nowS: number, last: boolean): Sought;
  /** Usual height of a strike, as in `refined`. */
  readonly level: number;
  /** How clearly its strikes stand out. */
  readonly following: Following;
  /** Begins anew at the first of a beat's strikes. @returns whether it could */
  begin(beat: Beat): boolean;
  /** Strikes before a beat just begun that are surely its lead's, though no beat joins them: an engine being started.
   * @param from the oldest candidate that may be one @returns oldest first */
  earlier(beat: Beat, from: number): readonly Lone[];
  /** Takes the next impulse. @returns false if there is none to take yet */
  step(): boolean;
  /** A refined candidate was a strike: its time may become a better one. @param slot its place in the pattern, from 0 */
  accept(candidate: number, slot: number): void;
  /** What strikes that noise hid are looked for in; null: there is no sound. */
  readonly heard: Heard | null;
}

/** A strike outside a beat. */
export interface Lone {
  readonly timeS: number;
  /** Its peak. */
  readonly height: number;
}

export interface Sought {
  readonly beat: Beat | null;
  /** The oldest candidate that may begin a beat, as they are numbered now. */
  readonly from: number;
}

/** A strike's own kick and ringing end so long after it. */
const SETTLED_S = 2.6e-3;
/** What was looked for again and stands so near is the same impulse. */
const SAME_S = 0.1e-3;
const EARLY = 5;
/** Impulses of so long ago may still be the start of a beat. */
export const LOOK_BACK_INTERVALS = 14;
/** The beat's period and the rate's are told alike, natural logarithm. */
const SAME_PERIOD = 0.25;
/** A beat is looked for so often; after each vain look a little less often. */
const LOOK_EVERY_S = 0.05;
const LOOK_LATER = 1.1;
const LOOK_AT_LEAST_EVERY_S = 0.4;

export class BeatFollower {
  readonly #tracker: Tracker;
  readonly #rate: RateFilter;
  readonly #smoother: RateSmoother | null;
  readonly #hidden: HiddenStrikes | null;
  readonly #halfSpeed: HalfSpeedWatch;
  readonly #strike: Strike = { timeS: 0, amplitude: 0, rateHz: null, rateSdHz: null, state: 'listening' };
  /** Refined candidates that the tracker has seen. */
  #taken = 0;
  /** The oldest candidate found that may begin a beat. */
  #from = 0;
  #nextLookS = 0;
  #lookEveryS = LOOK_EVERY_S;
  #wasFollowing = false;
  #lastCandidate = -1;
  #lastS = -Infinity;
  /** The last strike that came after a limiter's cut. */
  #cutS = -Infinity;
  #startPeriodS = 0;
  readonly #leads = new LeadWatch();
  readonly #passed: PassedWatch;
  /** What is followed turned out to be several leads', or some of one's strikes only. */
  #isWrongBeat = false;
  /** The engine has just caught: one interval does not tell how fast it goes at its end. */
  #hasCaught = false;
  readonly recent: RecentStrikes;
  /** Counts since the start. */
  strikes = 0;
  missed = 0;
  setAside = 0;
  /** How often sound was lost unseen, and how much of it at least, seconds. */
  get slips(): number {
    return this.#rate.slips;
  }
  get slippedS(): number {
    return this.#rate.slippedS;
  }
  /** Natural logarithm of the usual strike over the noise beside it; null before strikes are seen. */
  logOverNoise: number | null = null;

  constructor(
    private readonly refining: Refining,
    private readonly limits: BeatLimits,
    private readonly onStrike: (strike: Readonly<Strike>) => void,
    smoothing: Smoothing | null = null,
    private readonly isClipped: (place: number) => boolean = () => false,
    private readonly canHear: () => boolean = () => true,
  ) {
    this.recent = new RecentStrikes(limits);
    this.#rate = new RateFilter(limits.longestS, limits.advances);
    this.#smoother =
      smoothing && new RateSmoother(limits.longestS, this.#rate, smoothing.lagS, smoothing.onSmoothed);
    const { heard } = refining;
    this.#halfSpeed = new HalfSpeedWatch(refining.refined);
    this.#passed = new PassedWatch(refining.refined);
    this.#hidden = heard && limits.patternLength === 1 ? new HiddenStrikes(refining.refined, heard) : null;
    this.#tracker = new Tracker(refining.refined, limits, (decided) => this.#accept(decided));
  }

  get state(): FollowState {
    if (this.#tracker.following) return 'following';
    return this.#wasFollowing ? 'lost' : 'listening';
  }

  /** Goes on with what was found. @param nowS up to when all is known @param last nothing more comes: a beat that can
   * be believed is taken up now */
  follow(nowS: number, last: boolean): void {
    if (!this.#tracker.following) this.#look(nowS, last);
    if (!this.#tracker.following) return;
    this.#feed();
    const ended = !this.#tracker.following;
    this.#tracker.decide(nowS);
    if (this.#isWrongBeat) this.#tracker.drop(nowS);
    else if (!ended && !this.#tracker.giveUp(nowS)) return;
    this.#forget();
    this.#lookEveryS = LOOK_EVERY_S;
    this.#nextLookS = nowS;
    if (ended) this.follow(nowS, last); // each time from a later strike on, so this ends
  }

  /** Decides all that waits. */
  finish(nowS: number): void {
    this.follow(nowS, true);
    this.#tracker.decide(nowS, true);
    this.#smoother?.flush();
  }

  /** What came before the last strike is settled. */
  #forget(): void {
    const { end, timeS } = this.refining.found;
    while (this.#from < end && timeS[this.refining.found.at(this.#from)]! <= this.#lastS + SETTLED_S)
      this.#from++;
  }

  #feed(): void {
    const { refined } = this.refining;
    while (!this.#isWrongBeat && this.refining.step())
      for (; this.#taken < refined.end; this.#taken++) {
        const timeS = refined.timeS[refined.at(this.#taken)]!;
        this.#tracker.take(this.#taken);
        this.#tracker.decide(timeS);
      }
  }

  /** Looks for a beat among the impulses so far. */
  #look(nowS: number, last: boolean): void {
    if ((nowS < this.#nextLookS && !last) || !this.canHear()) return;
    const all = this.refining.found;
    const oldestS = nowS - LOOK_BACK_INTERVALS * this.limits.longestS;
    while (this.#from < all.end && all.timeS[all.at(this.#from)]! < oldestS) this.#from++;
    const { beat, from } = this.refining.seek(this.#from, this.#lastS + SETTLED_S, nowS, last);
    this.#from = from;
    this.#lookEveryS = Math.min(LOOK_AT_LEAST_EVERY_S, this.#lookEveryS * LOOK_LATER);
    this.#nextLookS = nowS + this.#lookEveryS;
    if (!beat || !this.refining.begin(beat)) return;
    this.#takeUp(beat);
  }

  /** Follows a beat from its first strike on. */
  #takeUp(beat: Beat): void {
    const { refined } = this.refining;
    while (refined.end === 0 && this.refining.step());
    if (refined.end === 0) return;
    const lone = this.refining.earlier(beat, this.#from);
    for (const one of lone) this.#tellLone(one);
    this.#hasCaught = lone.length > 0;
    this.#tracker.start(beat, this.refining.found, this.refining.level, this.refining.following);
    this.#startPeriodS =
      this.limits.patternLength > 1 ? this.#tracker.periodS : earlyPeriodS(beat, this.refining.found);
    this.#taken = 1;
    this.#leads.startAnew();
    this.#passed.startAnew();
    this.#halfSpeed.startAnew();
    this.#isWrongBeat = false;
    this.#wasFollowing = true;
  }

  /** No speed can be told at it. */
  #tellLone({ timeS, height }: Lone): void {
    this.strikes++;
    const strike = this.#strike;
    strike.timeS = timeS;
    strike.amplitude = height;
    strike.rateHz = strike.rateSdHz = null;
    strike.state = 'following';
    this.onStrike(strike);
  }

  #accept({ candidate, steps, slot, place }: Readonly<Decided>): void {
    const { refined } = this.refining;
    this.refining.accept(candidate, slot);
    if (this.#isHalfSpeed(candidate, steps)) this.#goTwiceAsFast();
    const i = refined.at(candidate);
    const timeS = refined.timeS[i]!;
    if (steps === 0) this.#beginRate(this.#startPeriodS);
    else if (this.refining.following === CLEARLY && isSpeedUnknown(steps, timeS - this.#lastS))
      this.#beginRate(this.#tracker.periodS);
    const hidden = this.#tellHidden(candidate, steps);
    const placedS = timeS - place * this.#placingPeriodS;
    const aside = this.setAside;
    this.#count(candidate, steps, hidden);
    const isAside = this.setAside > aside;
    const cutSteps = hidden > 0 ? 0 : this.#cutSteps(steps, timeS);
    this.#tell(timeS, refined.timeVar[i]!, refined.peak[i]!, placedS, isAside, cutSteps);
  }

  /** What places of an uneven pattern are told by: the rate, unless strikes that are missing have led it astray. Places told
   * by a wrong rate would bear it out. */
  get #placingPeriodS(): number {
    const { periodS } = this.#tracker;
    const byRateS = this.#rate.periodS ?? periodS;
    return Math.abs(Math.log(byRateS / periodS)) < SAME_PERIOD ? byRateS : periodS;
  }

  #isHalfSpeed(candidate: number, steps: number): boolean {
    const { following, level } = this.refining;
    const mayBe = steps === 1 && hearsOthers(this.limits);
    return mayBe && this.#halfSpeed.take(candidate, this.#lastCandidate, level, following === CLEARLY);
  }

  #goTwiceAsFast(): void {
    this.#tracker.halvePeriod();
    this.#beginRate(this.#tracker.periodS);
    this.#halfSpeed.startAnew();
  }

  /** Tells those that noise hid before a strike. @returns how many */
  #tellHidden(candidate: number, steps: number): number {
    const hidden = this.#hidden;
    if (!hidden || this.refining.following === CLEARLY) return 0;
    hidden.take(candidate, steps, this.refining.level);
    for (let n = 0; n < hidden.count; n++)
      this.#tell(hidden.timeS[n]!, hidden.timeVar[n]!, hidden.height[n]!, hidden.timeS[n]!, false, 0);
    return hidden.count;
  }

  /** @param placedS when it would have come if firing were even @param isAside an impulse as tall stood before it
   * @param cutSteps intervals that a limiter's cut took before it */
  #tell(
    timeS: number,
    timeVar: number,
    amplitude: number,
    placedS: number,
    isAside: boolean,
    cutSteps: number,
  ): void {
    const rate = this.#rate;
    rate.take(placedS, timeVar, isAside, cutSteps);
    this.strikes++;
    const strike = this.#strike;
    strike.timeS = timeS;
    strike.amplitude = amplitude;
    const isWithheld = this.#hasCaught && rate.rateHz !== null;
    if (isWithheld) this.#hasCaught = false;
    strike.rateHz = isWithheld ? null : rate.rateHz;
    strike.rateSdHz = isWithheld ? null : rate.rateSdHz;
    strike.state = 'following';
    this.onStrike(strike);
    this.#smoother?.take(timeS, placedS, timeVar);
  }

  /** Intervals that a cut took while a limiter cuts an engine that races; 0: none. @param steps before the strike at a time */
  #cutSteps(steps: number, timeS: number): number {
    const isClear = this.refining.following === CLEARLY;
    const wasCutting = timeS - this.#cutS < CUTS_FOR_S;
    if (isClear && isCut(steps) && this.#tracker.periodS < CUT_BELOW_S) this.#cutS = timeS;
    return wasCutting && steps > 1 ? steps : 0;
  }

  #beginRate(periodS: number): void {
    this.#smoother?.reset(periodS);
    this.#rate.reset(periodS);
  }

  /** @param hidden of the strikes missed before it, those that noise hid */
  #count(candidate: number, steps: number, hidden: number): void {
    const { refined } = this.refining;
    const i = refined.at(candidate);
    const peak = refined.peak[i]!;
    const missed = Math.max(0, steps - 1) - hidden;
    this.missed += missed;
    if (steps > 0)
      for (let c = this.#lastCandidate + 1; c < candidate; c++)
        if (refined.peak[refined.at(c)]! > 0.5 * peak && this.#isAside(refined.timeS[refined.at(c)]!))
          this.setAside++;
    const isClipped = this.isClipped(refined.place[i]!);
    this.recent.take(refined, this.#lastCandidate, candidate, steps, missed, isClipped);
    // of a slow pulse with two edges one is passed by each time
    const mayPass = this.refining.following === CLEARLY && steps > 0 && !this.limits.twoEdges;
    const passes = mayPass && this.#passed.take(candidate, this.#lastCandidate);
    const areSeveral = hearsOthers(this.limits) && this.#leads.take(Math.log(peak), steps);
    if (passes || areSeveral) this.#isWrongBeat = true;
    this.#lastCandidate = candidate;
    this.#lastS = refined.timeS[i]!;
    const over = Math.log(peak / Math.max(refined.noise[i]!, 1e-7));
    this.logOverNoise =
      this.logOverNoise === null ? over : this.logOverNoise + 0.1 * (over - this.logOverNoise);
  }

  /** Whether what stands at a time since the last strike is neither that one's own nor a strike that was told after all. */
  #isAside(timeS: number): boolean {
    return timeS > this.#lastS + SETTLED_S && !this.#hidden?.isAt(timeS, SAME_S);
  }
}

/** Middle one of a beat's first intervals: one of them may be off, where sound was lost. */
function earlyPeriodS({ strikes, steps }: Beat, found: Candidates): number {
  const intervals: number[] = [];
  for (let i = 1; i < Math.min(EARLY + 1, strikes.length); i++)
    intervals.push(
      (found.timeS[found.at(strikes[i]!)]! - found.timeS[found.at(strikes[i - 1]!)]!) / steps[i]!,
    );
  return middleOf(intervals);
}
