/** What the signal is like, over the last second: levels, clipping, hum, gating. Samples in, plain figures out. Sums run
 * in tenths of a second; nothing is allocated for a sample. */
import { ClipMarks } from './clip-marks';
import { HumMeter } from './hum';
import { ToneCrest } from './tone-crest';

const PARTS = 10;
const PART_S = 0.1;
/** Converters that clip stop at the last step of 8 bits or later. */
const FULL_SCALE = 0.985;
/** A voice gate closes to exact zeros for at least so long, and opens for at least so long. */
const GATE_S = 8e-3;

export class Quality {
  readonly hum: HumMeter;
  readonly tone: ToneCrest;
  readonly clips = new ClipMarks();
  readonly #peak = new Float64Array(PARTS);
  readonly #energy = new Float64Array(PARTS);
  readonly #clipped = new Float64Array(PARTS);
  readonly #gates = new Float64Array(PARTS);
  readonly #count = new Float64Array(PARTS);
  readonly #partSamples: number;
  readonly #gateSamples: number;
  #part = 0;
  #zeros = 0;
  /** Samples before the block that runs. */
  #before = 0;
  #sounding = 0;
  #wasGated = false;

  constructor(sampleRateHz: number) {
    this.hum = new HumMeter(sampleRateHz);
    this.tone = new ToneCrest(sampleRateHz);
    this.#partSamples = Math.round(PART_S * sampleRateHz);
    this.#gateSamples = Math.round(GATE_S * sampleRateHz);
  }

  run(raw: Float32Array, length: number): void {
    this.hum.run(raw, length);
    this.tone.run(raw, length);
    for (let from = 0; from < length;) {
      const until = Math.min(length, from + this.#partSamples - this.#count[this.#part]!);
      this.#measure(raw, from, until);
      from = until;
      if (this.#count[this.#part] === this.#partSamples) this.#turn();
    }
    this.#before += length;
  }

  #measure(raw: Float32Array, from: number, until: number): void {
    let peak = 0;
    let energy = 0;
    let clipped = 0;
    for (let n = from; n < until; n++) {
      const x = raw[n]!;
      const height = x < 0 ? -x : x;
      energy += x * x;
      if (height > peak) peak = height;
      if (height >= FULL_SCALE) {
        clipped++;
        this.clips.note(this.#before + n);
      }
      if (height === 0) this.#zeros++;
      else if (this.#zeros > 0) this.#afterZeros();
      else this.#sounding++;
    }
    const part = this.#part;
    this.#peak[part] = Math.max(this.#peak[part]!, peak);
    this.#energy[part]! += energy;
    this.#clipped[part]! += clipped;
    this.#count[part]! += until - from;
  }

  /** Sound after zeros: short stretches of either are rounding, long ones in turn are a gate. */
  #afterZeros(): void {
    if (this.#zeros >= this.#gateSamples) {
      if (this.#wasGated && this.#sounding >= this.#gateSamples) this.#gates[this.#part]!++;
      this.#wasGated = true;
      this.#sounding = 0;
    }
    this.#sounding++;
    this.#zeros = 0;
  }

  #turn(): void {
    this.#part = (this.#part + 1) % PARTS;
    for (const sums of [this.#peak, this.#energy, this.#clipped, this.#gates, this.#count])
      sums[this.#part] = 0;
  }

  get peak(): number {
    return this.#peak.reduce((most, each) => Math.max(most, each), 0);
  }
  get rms(): number {
    const count = sum(this.#count);
    return count === 0 ? 0 : Math.sqrt(sum(this.#energy) / count);
  }
  get clippedShare(): number {
    const count = sum(this.#count);
    return count === 0 ? 0 : sum(this.#clipped) / count;
  }
  /** Times in the last second that a gate opened and closed again. */
  get gates(): number {
    return sum(this.#gates);
  }
}

const sum = (values: Float64Array): number => values.reduce((total, each) => total + each, 0);
