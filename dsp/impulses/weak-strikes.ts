/** Strikes in loud noise, found by their learnt shape over all samples: conditioned samples in a ring in, candidates out,
 * live or once more over all that the ring still holds. Knows no rate. */
import { Candidates } from './candidates';
import { Detector } from './detect';
import { MatchedFilter } from './matched-filter';
import type { SampleRing } from '../sound/sample-ring';
import type { StrikeShape } from '../shape/shape';

const BLOCK = 256;
/** Noise alone stands so tall a few times a second. */
const CLEAR = 3.3;
/** Filters settle so long at the start and after a gap. */
const SETTLE_AT_START_S = 4e-3;
const SETTLE_S = 1e-3;
/** The level of the noise is learnt from so much before anything is found. */
const LEVEL_S = 0.4;
/** After so many strikes the filter takes the shape as it is by then. */
const RENEW_STRIKES = 32;

/** Samples that went missing before a sample. */
interface Loss {
  readonly sample: number;
  readonly lost: number;
}

export class WeakStrikes {
  /** Sign +1 all: as the shape. Heights are those of the shape's peak. */
  readonly found = new Candidates('sharp', CLEAR);
  readonly #filter: MatchedFilter;
  readonly #heights = new Float64Array(BLOCK);
  #detector: Detector;
  #losses: Loss[] = [{ sample: 0, lost: 0 }];
  #next = 0;
  #strikes = 0;

  constructor(
    private readonly ring: SampleRing,
    private readonly sampleRateHz: number,
    shape: StrikeShape,
  ) {
    this.#filter = new MatchedFilter(shape, BLOCK);
    this.#detector = this.#newDetector();
  }

  #newDetector(): Detector {
    return new Detector(this.sampleRateHz, this.found, 'weak');
  }

  /** Samples went missing just now. @param lost all so far */
  lose(lost: number): void {
    this.#losses.push({ sample: this.ring.end, lost });
    const oldest = this.ring.end - this.ring.samples.length;
    while (this.#losses.length > 1 && this.#losses[1]!.sample < oldest) this.#losses.shift();
  }

  /** Takes the shape as it is and finds all anew, from a sample on. */
  refill(from: number): void {
    this.#filter.renew();
    this.found.clear();
    this.#detector = this.#newDetector();
    this.#detector.muteUntil(SETTLE_AT_START_S * this.sampleRateHz);
    const start = Math.max(0, from, this.ring.end - this.ring.samples.length + 2 * BLOCK);
    const levelUntil = Math.min(this.ring.end - this.#filter.after, start + LEVEL_S * this.sampleRateHz);
    for (let at = start; at + BLOCK <= levelUntil; at += BLOCK) {
      this.#filter.run(this.ring, at, BLOCK, this.#heights);
      this.#detector.noise.run(this.#heights, BLOCK);
    }
    this.#next = start;
    this.advance();
  }

  /** Goes on to what has come since. */
  advance(): void {
    const until = this.ring.end - this.#filter.after;
    while (this.#next < until) {
      const loss = this.#lossAt(this.#next);
      const stop = Math.min(until, this.#next + BLOCK, this.#nextLossAfter(this.#next));
      this.#filter.run(this.ring, this.#next, stop - this.#next, this.#heights);
      this.#detector.run(this.#heights, stop - this.#next, this.#next, loss);
      this.#next = stop;
      if (stop !== this.#nextLossAfter(stop - 1)) continue;
      this.#detector.flush(loss);
      this.#detector.muteUntil(stop + SETTLE_S * this.sampleRateHz);
    }
  }

  #lossAt(sample: number): number {
    let lost = 0;
    for (const loss of this.#losses) if (loss.sample <= sample) lost = loss.lost;
    return lost;
  }

  #nextLossAfter(sample: number): number {
    for (const loss of this.#losses) if (loss.sample > sample) return loss.sample;
    return Infinity;
  }

  /** Nothing more comes: hands over what waits. */
  finish(): void {
    this.advance();
    this.#detector.flush(this.#lossAt(this.#next));
  }

  /** One more strike was accepted, and the shape has learnt. */
  accept(): void {
    if (++this.#strikes % RENEW_STRIKES === 0) this.#filter.renew();
  }
}
