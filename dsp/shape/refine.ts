/** Candidates compared with the learned shape: each becomes one impulse with its height, sign and time by the shape, or
 * none where it is another's ringing. Where the noise is loud they are found by the shape as well. Allocates nothing
 * once a beat is followed. */
import { findBeat } from '../search/acquire';
import { hearsOthers, type Beat, type BeatLimits } from '../beat/beat-limits';
import type { Lone, Refining, Sought } from '../beat/beat-follower';
import type { AtPlace, Heard } from '../beat/hidden-strikes';
import { Candidates } from '../impulses/candidates';
import type { ClipMarks } from '../sound/clip-marks';
import { ClipRepair } from './clip-repair';
import { highPassResponse, type PulseSpeed } from '../sound/condition';
import { CLEARLY, followingAt, THOROUGH, type Following } from '../beat/following';
import type { SampleRing } from '../sound/sample-ring';
import { KnownStrikes } from './known-strikes';
import { PlaceShapes } from './place-shapes';
import { StrikeShape } from './shape';
import { middleOf } from '../quantile-of';
import { starterStrikes } from '../search/starter-strikes';
import { strongestAlike } from '../impulses/strongest';
import { WeakStrikes } from '../impulses/weak-strikes';

/** A peak may stand so far from where the shape's own peak lies: its ringing may be taller. */
const SEARCH_S = { sharp: 0.35e-3, slow: 0.6e-3 } as const;
/** Found by the shape, it stands within so many samples. */
const SEARCH_WEAK = 2;
/** Two impulses nearer to each other are one. */
const SAME_S = { clear: 0.1e-3, weak: 0.03e-3 } as const;
/** Below this share of the usual peak nothing can be a strike. */
const LEAST_SHARE = { clear: 0.08, weak: 0.35 } as const;
/** And from this share an impulse is looked at, while the beat is clear. */
const MAY_BE_STRIKE = 0.3;
/** Strikes so many times over the noise need no shape to be found. */
const CLEAR = 15;
/** Strikes that teach the shape at first. */
const LEARNS_FROM = { clear: 24, weak: 160 } as const;
/** So many weak strikes teach the shape well; in their stead, so long a stretch of them. */
const WEAK_STRIKES = 120;
const WEAK_S = 2.5;
/** So long a beat that one shape found is waited for by the better shape: which strikes are one lead's may not be sure yet. */
const UNSURE_S = 4.5;
/** With a shape that finds nothing the search begins anew after so long. */
const VAIN_S = 3;
/** Where no shape is known yet, so long a stretch is searched by a guessed one. */
const GUESSED_S = 4;
/** What is guessed in turn: the strongest impulses' middle, or a fall of so long. */
const GUESSED_FALLS_S = [null, 22e-6, 50e-6] as const;
/** Weak strikes are looked for so often. */
const WEAK_EVERY_S = 0.4;
/** A guess is dear, and vain where there is nothing but noise: after each the next comes a little later. */
const GUESS_EVERY_S = 0.2;
const GUESS_LATER = 1.2;
const GUESS_AT_LEAST_EVERY_S = 2;
/** What it costs to leave a strike out that the way back through noise took. */
const KNOWN_COST = 5;

export class Refiner implements Refining, Heard {
  /** By the shape. Sign +1: as the shape; -1: upside down. Heights are those of the shape's peak. */
  readonly refined: Candidates;
  readonly shape: StrikeShape;
  readonly #search: number;
  /** Beyond what is searched an impulse may stand so near that both count as one. */
  readonly #beyond: number;
  readonly #weak: WeakStrikes | null;
  /** Where strikes come from several leads in turn. */
  readonly #places: PlaceShapes | null;
  #isWeak = false;
  #following = CLEARLY;
  #weakSinceS = 0;
  #nextWeakS = 0;
  /** When the shape found a beat last. */
  #lastWeakS = -Infinity;
  #nextGuessS = 0;
  /** Where noise is loud, the way back decided them. */
  #known: KnownStrikes | null = null;
  #guesses = 0;
  #guessEveryS = GUESS_EVERY_S;
  /** Times were told by the shape as it is. */
  #told = false;
  /** Usual height of a strike by the shape, and candidates taken so far. */
  level = 0;
  taken = 0;

  constructor(
    private readonly plain: Candidates,
    private readonly ring: SampleRing,
    readonly sampleRateHz: number,
    private readonly limits: BeatLimits,
    pulses: PulseSpeed,
    clips: ClipMarks,
  ) {
    this.refined = new Candidates(pulses);
    this.shape = new StrikeShape(sampleRateHz, pulses);
    if (pulses === 'sharp')
      this.shape.mending = new ClipRepair(ring, clips, this.shape, highPassResponse(sampleRateHz));
    this.#weak = pulses === 'sharp' ? new WeakStrikes(ring, sampleRateHz, this.shape) : null;
    const places = pulses === 'sharp' ? limits.patternLength : 1;
    this.#places = places > 1 ? new PlaceShapes(this.shape, places) : null;
    this.#search = Math.ceil(SEARCH_S[pulses] * sampleRateHz);
    this.#beyond = Math.ceil(SAME_S.clear * sampleRateHz);
  }

  get found(): Candidates {
    return this.#isWeak && this.#weak ? this.#weak.found : this.plain;
  }

  get following(): Following {
    return this.#following;
  }

  /** While the beat is clear, the height from which an impulse may be a strike. */
  get tallEnough(): number {
    return this.#isWeak ? Infinity : MAY_BE_STRIKE * this.level;
  }

  /** More samples stand in the ring. */
  advance(): void {
    if (this.#isWeak) this.#weak?.advance();
  }

  /** Samples went missing. @param lost all so far */
  lose(lost: number): void {
    this.#weak?.lose(lost);
  }

  finish(): void {
    if (this.#isWeak) this.#weak?.finish();
  }

  /** Looks for a beat among the impulses, and where noise is loud, among those that the shape finds. */
  seek(from: number, sinceS: number, nowS: number, last: boolean): Sought {
    if (this.#told) this.shape.remember();
    this.#told = false;
    if (this.#isWeak) {
      const beat = findBeat(this.found, from, nowS, this.limits, last, THOROUGH);
      if (beat || nowS - this.#weakSinceS < VAIN_S) return { beat, from };
      this.#isWeak = false;
      from = firstSince(this.plain, Math.max(sinceS, nowS - VAIN_S));
    }
    const beat = findBeat(this.plain, from, nowS, this.limits, last);
    if (!this.#weak) return { beat, from };
    if (beat ? this.#isClear(beat.strikes) : !this.#guess(from, nowS)) return { beat, from };
    if (nowS < this.#nextWeakS && !last) return { beat: null, from };
    this.#nextWeakS = nowS + WEAK_EVERY_S;
    if (beat && !this.begin(beat)) return { beat: null, from };
    const sought = this.#seekWeak(this.#weak, from, sinceS, nowS, last);
    if (sought) return sought;
    const inVain = nowS - this.#lastWeakS > VAIN_S;
    return { beat: beat && (last || (inVain && this.#isLong(beat, this.plain))) ? beat : null, from };
  }

  #isClear(strikes: readonly number[]): boolean {
    const over = strikes.map((c) => this.plain.peak[this.plain.at(c)]! / this.plain.noise[this.plain.at(c)]!);
    return middleOf(over) > CLEAR;
  }

  /** A first shape from the strongest impulses, where they are weak. @returns whether there is one */
  #guess(from: number, nowS: number): boolean {
    if (nowS < this.#nextGuessS) return false;
    this.#guessEveryS = Math.min(GUESS_AT_LEAST_EVERY_S, GUESS_LATER * this.#guessEveryS);
    this.#nextGuessS = nowS + this.#guessEveryS;
    const strongest = strongestAlike(this.plain, from, nowS - GUESSED_S);
    if (strongest && this.#isClear(strongest.candidates)) return false;
    const fallS = GUESSED_FALLS_S[this.#guesses++ % GUESSED_FALLS_S.length]!;
    if (fallS !== null || !strongest) {
      this.shape.guess(fallS ?? GUESSED_FALLS_S[1], this.sampleRateHz);
      return true;
    }
    const places = strongest.candidates.map((c) => this.plain.place[this.plain.at(c)]!);
    return this.shape.learn(this.ring, places, null, false) !== null;
  }

  /** Twice: the second time by the shape that the first beat's strikes have. */
  #seekWeak(
    weak: WeakStrikes,
    plainFrom: number,
    sinceS: number,
    nowS: number,
    last: boolean,
  ): Sought | null {
    weak.refill(this.ring.end - GUESSED_S * this.sampleRateHz);
    let early = false;
    const first = findBeat(weak.found, firstSince(weak.found, sinceS), nowS, this.limits, last);
    if (!first) return null;
    this.#lastWeakS = nowS;
    const sinceFirstS = nowS - weak.found.timeS[weak.found.at(first.strikes[0]!)]!;
    this.#isWeak = true;
    this.#weakSinceS = nowS;
    if (this.#learn(first.strikes, true)) {
      weak.refill(0);
      const from = firstSince(weak.found, sinceS);
      const second = findBeat(weak.found, from, nowS, this.limits, true, THOROUGH);
      if (second && (last || this.#isLong(second, weak.found))) return { beat: second, from };
      if (second || sinceFirstS < UNSURE_S) early = true;
    }
    this.#isWeak = false;
    return early ? { beat: null, from: plainFrom } : null;
  }

  /** Among loud noise one strike says little of the shape: many are waited for. */
  #isLong({ strikes }: Beat, all: Candidates): boolean {
    const spanS = all.timeS[all.at(strikes[strikes.length - 1]!)]! - all.timeS[all.at(strikes[0]!)]!;
    return strikes.length >= WEAK_STRIKES || spanS > WEAK_S;
  }

  /** Learns the shape from a beat's strikes and begins anew at the first of them.
   * @returns whether it could */
  begin({ strikes, steps }: Beat): boolean {
    if (!this.#learn(strikes, !this.#isWeak)) return false; // those found by the shape stand where it stands
    this.#known =
      this.#isWeak && this.limits.patternLength === 1 ? new KnownStrikes(this.found, strikes, steps) : null;
    return true;
  }

  earlier(beat: Beat, from: number): readonly Lone[] {
    if (this.#isWeak || !hearsOthers(this.limits) || beat.isCut) return [];
    return starterStrikes(this.plain, beat, from, this.limits, (c) => {
      const i = this.plain.at(c);
      const place = this.plain.place[i]!;
      if (!this.#compare(place + this.shape.lead, this.#search) || !this.shape.isUsual) return null;
      return { timeS: this.#timeOf(i), height: this.shape.fit.amplitude };
    });
  }

  #learn(strikes: readonly number[], mayMove: boolean): boolean {
    const { found } = this;
    const most = this.#isWeak ? LEARNS_FROM.weak : LEARNS_FROM.clear;
    const places = strikes.slice(0, most).map((c) => found.place[found.at(c)]!);
    const weak = this.#isWeak ? SEARCH_WEAK : null;
    const level = this.shape.learn(this.ring, places, weak, mayMove);
    if (level === null) return false;
    const same = this.shape.agree();
    this.#places?.clear(same);
    this.level = level;
    const noise = middleOf(strikes.map((c) => found.noise[found.at(c)]!));
    this.#following = this.#isWeak ? followingAt(level / noise) : CLEARLY;
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
    if (place + this.#search + this.#beyond + this.shape.samplesAfter > ring.end) return false;
    const mayBe = this.#known?.mayBe(this.taken) ?? true;
    this.taken++;
    if (!mayBe) return true;
    const least = this.#isWeak ? LEAST_SHARE.weak : LEAST_SHARE.clear;
    if (found.peak[i]! < least * this.level) return true;
    const search = this.#isWeak ? SEARCH_WEAK : this.#search;
    if (this.#compare(place + this.shape.lead, search)) this.#add(i);
    return true;
  }

  /** Compares what was found at a place with the shape. @returns false where it is but the near flank of a strike just after,
   * which is found by itself: taken for an impulse of its own it would hide that strike */
  #compare(centre: number, search: number): boolean {
    const { shape, ring } = this;
    if (!shape.compare(ring, centre, search, this.#isWeak)) return false;
    const { place } = shape.fit;
    if (this.#isWeak || place < centre + search - this.#beyond) return true;
    return shape.compare(ring, place, this.#beyond) && shape.fit.place < place + 1;
  }

  /** When what was just compared came. @param i of the candidate */
  #timeOf(i: number): number {
    const { timeS, place } = this.found;
    return timeS[i]! + (this.shape.fit.place + this.shape.zero - place[i]!) / this.sampleRateHz;
  }

  #add(i: number): void {
    const { found, refined } = this;
    const { fit } = this.shape;
    const same = SAME_S[this.#isWeak ? 'weak' : 'clear'] * this.sampleRateHz;
    for (let r = refined.end - 1; r >= Math.max(0, refined.end - 4); r--)
      if (Math.abs(refined.place[refined.at(r)]! - fit.place) < same) return;
    const timeS = this.#timeOf(i);
    const sign = fit.amplitude > 0 ? 1 : -1;
    const timeVar = fit.variance / (this.sampleRateHz * this.sampleRateHz);
    refined.add(timeS, Math.abs(fit.amplitude), sign, found.noise[i]!, fit.place, timeVar);
    if (this.#known?.isOne(this.taken - 1)) refined.leftOutCost[refined.at(refined.end - 1)] = KNOWN_COST;
  }

  /** A refined candidate was a strike, of a place in the pattern: it is timed, and shapes and level follow it. */
  accept(candidate: number, slot: number): void {
    const { refined } = this;
    const i = refined.at(candidate);
    if (this.shape.compare(this.ring, refined.place[i]!, 1)) this.#follow(i, slot);
    this.#told = true;
    this.#guessEveryS = GUESS_EVERY_S;
    this.level += 0.2 * (refined.peak[i]! - this.level);
    if (this.#isWeak) this.#weak?.accept();
  }

  get heard(): Heard {
    return this;
  }

  /** What stands at a place, by the shape, upright. What strikes taught is as it was. */
  lookAt(place: number, search: number): AtPlace | null {
    return this.#isWeak && this.shape.compare(this.ring, place, search, true) ? this.shape.fit : null;
  }

  /** The strike just compared: by its place's own shape, where that differs; then it teaches. */
  #follow(i: number, slot: number): void {
    const { refined, ring, shape } = this;
    const places = this.shape.isCommon ? null : this.#places;
    const own = places?.compare(ring, slot, shape.fit.place) ?? null;
    if (places && own) {
      const later = own.place + places.zero(slot) - refined.place[i]! - shape.zero;
      refined.timeS[i]! += later / this.sampleRateHz;
      refined.timeVar[i] = own.variance / (this.sampleRateHz * this.sampleRateHz);
    }
    if (shape.teach(ring)) places?.teach(ring, slot, own ?? shape.fit, shape.usualHeight);
  }
}

/** The first candidate after a time. */
function firstSince(all: Candidates, sinceS: number): number {
  let from = all.first;
  while (from < all.end && all.timeS[all.at(from)]! <= sinceS) from++;
  return from;
}
