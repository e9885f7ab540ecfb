/** The streaming chain put together: condition, find, follow, tell. Samples wait until a chunk is full, so that the cut
 * into blocks changes no bit. One thread, no clock. */
import { findBeat, type Beat, type BeatLimits } from './acquire';
import { Candidates } from './candidates';
import { Conditioner } from './condition';
import { Detector } from './detect';
import type { FollowState } from './follow-state';
import { Quality } from './quality';
import { RateFilter } from './rate';
import { whyNoRate } from './reason';
import { Refiner } from './refine';
import { SampleRing } from './sample-ring';
import type { ChainOptions, SignalReport, Strike, StrikeChain } from './strike-chain';
import { Tracker, type Decided } from './tracker';

const CHUNK_S = 5e-3;
/** An impulse is known so long after its peak. */
const KNOWN_AFTER_S = { sharp: 1.6e-3, slow: 4e-3 } as const;
/** Filters settle so long after a gap; and at the start, when hum may begin anywhere in its swing. */
const SETTLE_S = 1e-3;
const SETTLE_AT_START_S = 4e-3;
/** A strike's own kick and ringing end so long after it. */
const SETTLED_S = 2.6e-3;
/** Impulses of so long ago may still be the start of a beat. */
const LOOK_BACK_INTERVALS = 14;
/** A beat is looked for so often; after each vain look a little less often. */
const LOOK_EVERY_S = 0.05;
const LOOK_LATER = 1.1;
const LOOK_AT_LEAST_EVERY_S = 0.4;
class Chain implements StrikeChain {
  readonly #found: Candidates;
  readonly #ring: SampleRing;
  readonly #refiner: Refiner;
  readonly #conditioner: Conditioner;
  readonly #detector: Detector;
  readonly #quality: Quality;
  readonly #limits: BeatLimits;
  readonly #tracker: Tracker;
  readonly #rate = new RateFilter();
  readonly #raw: Float32Array;
  readonly #clean: Float64Array;
  readonly #smooth: Float64Array;
  readonly #strike: Strike = { timeS: 0, amplitude: 0, rateHz: null, rateSdHz: null, state: 'listening' };
  #filled = 0;
  #samples = 0;
  #lost = 0;
  /** Refined candidates that the tracker has seen. */
  #taken = 0;
  /** The oldest candidate found that may begin a beat. */
  #from = 0;
  #nextLookS = 0;
  #lookEveryS = LOOK_EVERY_S;
  #wasFollowing = false;
  #strikes = 0;
  #missed = 0;
  #setAside = 0;
  #logOverNoise: number | null = null;
  #lastCandidate = -1;
  #lastS = -Infinity;
  #startPeriodS = 0;

  constructor(
    private readonly options: ChainOptions,
    private readonly onStrike: (strike: Readonly<Strike>) => void,
  ) {
    const { sampleRateHz, pulses = 'sharp' } = options;
    const chunk = 2 ** Math.round(Math.log2(CHUNK_S * sampleRateHz));
    this.#raw = new Float32Array(chunk);
    this.#clean = new Float64Array(chunk);
    this.#smooth = new Float64Array(chunk);
    this.#found = new Candidates(pulses);
    this.#conditioner = new Conditioner(sampleRateHz, pulses);
    this.#detector = new Detector(sampleRateHz, this.#found, pulses);
    this.#detector.muteUntil(Math.round(SETTLE_AT_START_S * sampleRateHz));
    this.#quality = new Quality(sampleRateHz);
    this.#limits = {
      shortestS: 1 / options.highestRateHz,
      longestS: 1 / options.lowestRateHz,
      patternLength: options.patternLength ?? 1,
      repeatShare: options.repeatShare ?? 0.03,
      twoEdges: pulses === 'slow',
    };
    this.#ring = new SampleRing((LOOK_BACK_INTERVALS * this.#limits.longestS + 1) * sampleRateHz);
    this.#refiner = new Refiner(this.#found, this.#ring, sampleRateHz, pulses);
    this.#tracker = new Tracker(this.#refiner.refined, this.#limits, (decided) => this.#accept(decided));
  }

  get timeS(): number {
    return (this.#samples + this.#filled + this.#lost) / this.options.sampleRateHz;
  }

  push(samples: Float32Array): void {
    for (let at = 0; at < samples.length;) {
      const count = Math.min(samples.length - at, this.#raw.length - this.#filled);
      for (let n = 0; n < count; n++) this.#raw[this.#filled + n] = samples[at + n]!;
      this.#filled += count;
      at += count;
      if (this.#filled === this.#raw.length) this.#chunk();
    }
  }

  lose(samples: number): void {
    if (!(samples >= 0)) throw new RangeError(`lost samples must be counted from 0, got ${samples}`);
    if (this.#filled > 0) this.#chunk();
    this.#detector.flush(this.#lost);
    this.#lost += samples;
    this.#detector.muteUntil(this.#samples + Math.round(SETTLE_S * this.options.sampleRateHz));
  }

  finish(): void {
    if (this.#filled > 0) this.#chunk();
    this.#detector.flush(this.#lost);
    this.#clean.fill(0);
    for (let n = 0; n < 4e-3 * this.options.sampleRateHz; n += this.#clean.length)
      this.#ring.push(this.#clean, this.#clean.length); // what is compared at the very end goes on into nothing
    this.#follow(this.timeS, true);
    this.#tracker.decide(this.timeS, true);
  }

  #chunk(): void {
    const length = this.#filled;
    this.#quality.run(this.#raw, length);
    this.#conditioner.run(this.#raw, length, this.#clean, this.#smooth);
    this.#ring.push(this.#clean, length);
    this.#detector.run(this.#smooth, length, this.#samples, this.#lost);
    this.#samples += length;
    this.#filled = 0;
    this.#follow(this.timeS - KNOWN_AFTER_S[this.options.pulses ?? 'sharp'], false);
  }

  #follow(nowS: number, last: boolean): void {
    if (!this.#tracker.following) this.#look(nowS, last);
    if (!this.#tracker.following) return;
    this.#feed();
    this.#tracker.decide(nowS);
    if (!this.#tracker.giveUp(nowS)) return;
    this.#forget();
    this.#lookEveryS = LOOK_EVERY_S;
    this.#nextLookS = nowS;
  }

  /** What came before the last strike is settled. */
  #forget(): void {
    const { end, timeS } = this.#found;
    while (this.#from < end && timeS[this.#found.at(this.#from)]! <= this.#lastS + SETTLED_S) this.#from++;
  }

  #feed(): void {
    const { refined } = this.#refiner;
    while (this.#refiner.step())
      for (; this.#taken < refined.end; this.#taken++) {
        this.#tracker.take(this.#taken);
        this.#tracker.decide(refined.timeS[refined.at(this.#taken)]!);
      }
  }

  /** Looks for a beat among the impulses so far. */
  #look(nowS: number, last: boolean): void {
    if (nowS < this.#nextLookS && !last) return;
    const all = this.#found;
    const oldestS = nowS - LOOK_BACK_INTERVALS * this.#limits.longestS;
    while (this.#from < all.end && all.timeS[all.at(this.#from)]! < oldestS) this.#from++;
    const beat = findBeat(all, this.#from, nowS, this.#limits, last);
    this.#lookEveryS = Math.min(LOOK_AT_LEAST_EVERY_S, this.#lookEveryS * LOOK_LATER);
    this.#nextLookS = nowS + this.#lookEveryS;
    if (!beat || !this.#refiner.begin(beat.strikes, beat.sign)) return;
    this.#takeUp(beat);
  }

  /** Follows a beat from its first strike on. */
  #takeUp(beat: Beat): void {
    const { refined } = this.#refiner;
    while (refined.end === 0 && this.#refiner.step());
    if (refined.end === 0) return;
    this.#tracker.start(beat, this.#found, this.#refiner.level);
    this.#startPeriodS = this.#tracker.periodS;
    this.#taken = 1;
    this.#wasFollowing = true;
  }

  #accept({ candidate, steps, place }: Readonly<Decided>): void {
    const { refined } = this.#refiner;
    const i = refined.at(candidate);
    const timeS = refined.timeS[i]!;
    const rate = this.#rate;
    if (steps === 0) rate.reset(this.#startPeriodS);
    rate.take(timeS - place * (rate.periodS ?? this.#tracker.periodS), refined.timeVar[i]!, steps);
    this.#count(candidate, steps);
    this.#refiner.accept(candidate);
    const strike = this.#strike;
    strike.timeS = timeS;
    strike.amplitude = refined.peak[i]!;
    strike.rateHz = rate.rateHz;
    strike.rateSdHz = rate.rateSdHz;
    strike.state = 'following';
    this.onStrike(strike);
  }

  #count(candidate: number, steps: number): void {
    const { refined } = this.#refiner;
    const i = refined.at(candidate);
    const peak = refined.peak[i]!;
    this.#strikes++;
    this.#missed += Math.max(0, steps - 1);
    if (steps > 0)
      for (let c = this.#lastCandidate + 1; c < candidate; c++)
        if (
          refined.peak[refined.at(c)]! > 0.5 * peak &&
          refined.timeS[refined.at(c)]! > this.#lastS + SETTLED_S
        )
          this.#setAside++;
    this.#lastCandidate = candidate;
    this.#lastS = refined.timeS[i]!;
    const over = Math.log(peak / Math.max(refined.noise[i]!, 1e-7));
    this.#logOverNoise =
      this.#logOverNoise === null ? over : this.#logOverNoise + 0.1 * (over - this.#logOverNoise);
  }

  get #state(): FollowState {
    if (this.#tracker.following) return 'following';
    return this.#wasFollowing ? 'lost' : 'listening';
  }

  report(): SignalReport {
    const state = this.#state;
    const { peak, rms, clippedShare, gates } = this.#quality;
    const hum = this.#quality.hum.hum;
    const facts = { nowS: this.timeS, peak, rms, clippedShare, gates, humAmplitude: hum?.amplitude ?? null };
    return {
      state,
      reason: state === 'following' ? null : whyNoRate(this.#found, facts),
      peak,
      rms,
      clippedShare,
      humAmplitude: hum?.amplitude ?? null,
      humHz: hum?.hz ?? null,
      steadyTone: this.#quality.tone.steady,
      strikeToNoiseDb: this.#logOverNoise === null ? null : (20 / Math.LN10) * this.#logOverNoise,
      strikes: this.#strikes,
      missed: this.#missed,
      setAside: this.#setAside,
      lostSamples: this.#lost,
    };
  }
}

/** Starts a chain.
 * @param options rates in hertz @param onStrike told of each accepted strike, in order of time; the object is used again
 * @throws RangeError if a rate cannot be */
export function createStrikeChain(
  options: ChainOptions,
  onStrike: (strike: Readonly<Strike>) => void,
): StrikeChain {
  const { sampleRateHz, lowestRateHz, highestRateHz, patternLength = 1 } = options;
  if (!(sampleRateHz >= 4000 && sampleRateHz <= 1e6))
    throw new RangeError(`sampleRateHz must be from 4000 to 1000000, got ${sampleRateHz}`);
  if (!(lowestRateHz > 0 && highestRateHz > lowestRateHz && highestRateHz < sampleRateHz / 4))
    throw new RangeError(`strike rates must rise from above 0, got ${lowestRateHz} to ${highestRateHz} Hz`);
  if (!(Number.isInteger(patternLength) && patternLength >= 1 && patternLength <= 24))
    throw new RangeError(`patternLength must be a whole number from 1 to 24, got ${patternLength}`);
  return new Chain(options, onStrike);
}
