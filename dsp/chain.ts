/** The streaming chain put together: condition, find, follow, tell. Samples wait until a chunk is full, so that the cut
 * into blocks changes no bit. One thread, no clock. */
import type { BeatLimits } from './beat/beat-limits';
import { BeatFollower, LOOK_BACK_INTERVALS } from './beat/beat-follower';
import { Candidates } from './impulses/candidates';
import { ClosingWatch, type Closing } from './closing/closing';
import { Conditioner } from './sound/condition';
import { Detector } from './impulses/detect';
import { Quality } from './sound/quality';
import { whyNoRate } from './picture/reason';
import { Refiner } from './shape/refine';
import { SampleRing } from './sound/sample-ring';
import { pictureOf } from './picture/picture';
import type {
  ChainOptions,
  SignalPicture,
  SignalReport,
  Smoothing,
  Strike,
  StrikeChain,
} from './strike-chain';

const CHUNK_S = 5e-3;
/** An impulse is known so long after its peak. */
const KNOWN_AFTER_S = { sharp: 1.6e-3, slow: 4e-3 } as const;
/** A strike is clipped where a sample so long before its place, or after it, stands at full scale. */
const CLIP_BEFORE_S = 0.3e-3;
const CLIP_AFTER_S = 0.3e-3;
/** Where so many samples stand at full scale, what is left are the edges of a tone: no beat is taken up. */
const MOST_CLIPPED = 0.3;
/** Filters settle so long after a gap; and at the start, when hum may begin anywhere in its swing. */
const SETTLE_S = 1e-3;
const SETTLE_AT_START_S = 4e-3;

class Chain implements StrikeChain {
  readonly #found: Candidates;
  readonly #ring: SampleRing;
  readonly #conditioner: Conditioner;
  readonly #detector: Detector;
  readonly #quality: Quality;
  readonly #refiner: Refiner;
  readonly #follower: BeatFollower;
  readonly #closing: ClosingWatch | null;
  readonly #raw: Float32Array;
  readonly #clean: Float64Array;
  readonly #smooth: Float64Array;
  #filled = 0;
  #samples = 0;
  #lost = 0;

  constructor(
    private readonly options: ChainOptions,
    onStrike: (strike: Readonly<Strike>) => void,
    smoothing: Smoothing | null,
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
    const limits: BeatLimits = {
      shortestS: 1 / options.highestRateHz,
      longestS: 1 / options.lowestRateHz,
      patternLength: options.patternLength ?? 1,
      repeatShare: options.repeatShare ?? 0.03,
      twoEdges: pulses === 'slow',
      advances: pulses === 'sharp',
    };
    this.#ring = new SampleRing((LOOK_BACK_INTERVALS * limits.longestS + 1) * sampleRateHz);
    const { clips } = this.#quality;
    this.#refiner = new Refiner(this.#found, this.#ring, sampleRateHz, limits, pulses, clips);
    const closing = options.seeksClosing ? new ClosingWatch(this.#ring, sampleRateHz, limits) : null;
    this.#closing = closing;
    const struck = (strike: Readonly<Strike>): void => {
      closing?.strike(strike.timeS, strike.amplitude, strike.rateHz);
      onStrike(strike);
    };
    const isClipped = (place: number): boolean =>
      clips.within(place - CLIP_BEFORE_S * sampleRateHz, place + CLIP_AFTER_S * sampleRateHz);
    const canHear = (): boolean => this.#quality.clippedShare < MOST_CLIPPED;
    this.#follower = new BeatFollower(this.#refiner, limits, struck, smoothing, isClipped, canHear);
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
    this.#refiner.lose(this.#lost);
    this.#closing?.lose(this.#lost, this.timeS);
    this.#detector.muteUntil(this.#samples + Math.round(SETTLE_S * this.options.sampleRateHz));
  }

  finish(): void {
    if (this.#filled > 0) this.#chunk();
    this.#detector.flush(this.#lost);
    this.#clean.fill(0);
    for (let n = 0; n < 4e-3 * this.options.sampleRateHz; n += this.#clean.length)
      this.#ring.push(this.#clean, this.#clean.length); // what is compared at the very end goes on into nothing
    this.#refiner.finish();
    this.#follower.finish(this.timeS);
    this.#closing?.look();
  }

  #chunk(): void {
    const length = this.#filled;
    this.#quality.run(this.#raw, length);
    this.#conditioner.run(this.#raw, length, this.#clean, this.#smooth);
    this.#ring.push(this.#clean, length);
    this.#detector.tallEnough = this.#follower.state === 'following' ? this.#refiner.tallEnough : Infinity;
    this.#detector.run(this.#smooth, length, this.#samples, this.#lost);
    this.#refiner.advance();
    this.#samples += length;
    this.#filled = 0;
    this.#follower.follow(this.timeS - KNOWN_AFTER_S[this.options.pulses ?? 'sharp'], false);
  }

  closing(): Closing | null {
    return this.#closing?.closing ?? null;
  }

  picture(): SignalPicture | null {
    const follower = this.#follower;
    if (follower.strikes === 0) return null;
    return pictureOf(this.#refiner.shape, this.options.sampleRateHz, follower);
  }

  report(): SignalReport {
    const { state, logOverNoise, strikes, missed, setAside, slips, slippedS } = this.#follower;
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
      strikeToNoiseDb: logOverNoise === null ? null : (20 / Math.LN10) * logOverNoise,
      strikes,
      missed,
      setAside,
      lostSamples: this.#lost,
      slips,
      slippedS,
    };
  }
}

/** Starts a chain.
 * @param options rates in hertz @param onStrike told of each accepted strike, in order of time; the object is used again
 * @param smoothing tells rates by what came after as well; null: not wanted
 * @throws RangeError if a rate cannot be */
export function createStrikeChain(
  options: ChainOptions,
  onStrike: (strike: Readonly<Strike>) => void,
  smoothing: Smoothing | null = null,
): StrikeChain {
  const { sampleRateHz, lowestRateHz, highestRateHz, patternLength = 1 } = options;
  if (!(sampleRateHz >= 4000 && sampleRateHz <= 1e6))
    throw new RangeError(`sampleRateHz must be from 4000 to 1000000, got ${sampleRateHz}`);
  if (!(lowestRateHz > 0 && highestRateHz > lowestRateHz && highestRateHz < sampleRateHz / 4))
    throw new RangeError(`strike rates must rise from above 0, got ${lowestRateHz} to ${highestRateHz} Hz`);
  if (!(Number.isInteger(patternLength) && patternLength >= 1 && patternLength <= 24))
    throw new RangeError(`patternLength must be a whole number from 1 to 24, got ${patternLength}`);
  return new Chain(options, onStrike, smoothing);
}
