/** Strikes that noise hid from all that looks for impulses: once those before and after are known it is told within some
 * samples where each was due, and there far lower ones speak for themselves. How near, how tall and how seldom missing
 * strikes are is learnt from those that were taken. Allocates nothing. */
import type { Candidates } from '../impulses/candidates';
import { noisePeaksHz } from './noise-costs';

/** What the learnt shape finds at a place. */
export interface AtPlace {
  /** Samples. */
  readonly place: number;
  /** Height, as that of impulses by the shape; below 0: upside down. */
  readonly amplitude: number;
  /** Variance of the place, samples squared. */
  readonly variance: number;
}

/** The sound that strikes are heard in. */
export interface Heard {
  readonly sampleRateHz: number;
  /** @param place where it is looked for, samples @param search so many to either side
   * @returns null where it cannot be told; the object is used again */
  lookAt(place: number, search: number): AtPlace | null;
}

/** So many in a row at the most: after more nobody knows how many there were. */
const MOST = 4;
/** It is looked for within so many deviations, and none is where that is more than a share of an interval. */
const WITHIN = 2.5;
const MOST_OFF = 0.3;
/** A gap so far from a whole number of the intervals before it is none that strikes alone are missing from. */
const UNCOUNTED = 0.2;
/** Where times and places differ by more samples than this, sound was lost. */
const LOST_SAMPLES = 0.5;
/** Lower by the usual strike, or by the noise, it is none. */
const LEAST_SHARE = 0.2;
const LEAST_OVER_NOISE = 1;
/** So much likelier than noise alone, natural logarithm: where an engine misfires what is about as likely is noise. */
const LEAST_EVIDENCE = 1;
/** Before anything is learnt: deviation from the middle of both neighbours by the interval, of heights by the usual one,
 * share of strikes that are missing. */
const START_SCATTER = 2e-3;
const START_HEIGHT_SCATTER = 0.2;
const START_MISSING = 0.03;
/** The newest strike's part in each, and what one outlier may say at the most, in variances. */
const GAIN = 0.1;
const GAIN_MISSING = 0.02;
const MOST_VARIANCES = 9;
/** Bounds of the share of strikes taken for missing. */
const LEAST_MISSING = 0.01;
const MOST_MISSING = 0.3;
const LOG_ROOT_TWO_PI = 0.5 * Math.log(2 * Math.PI);

export class HiddenStrikes {
  /** Of the last gap looked at, oldest first: seconds, seconds squared, heights. */
  readonly timeS = new Float64Array(MOST);
  readonly timeVar = new Float64Array(MOST);
  readonly height = new Float64Array(MOST);
  count = 0;
  /** Strikes lie so far after the middle of their neighbours, mean and variance; the variance is 0 before any did. */
  #offS = 0;
  #offVar = 0;
  /** Of heights by the usual one. */
  #heightVar = START_HEIGHT_SCATTER ** 2;
  #missing = START_MISSING;
  /** The last two strikes, the newer first; -1: none, or not next to each other. */
  #last = -1;
  #beforeLast = -1;
  /** Mean of the intervals before the last strike; 0: none is known. */
  #intervalS = 0;

  constructor(
    private readonly all: Candidates,
    private readonly heard: Heard,
  ) {}

  /** Takes the next strike, and looks for those before it that did not come.
   * @param candidate of `all` @param steps intervals since the one before; 0: a beat begins
   * @param level usual height of a strike */
  take(candidate: number, steps: number, level: number): void {
    this.count = 0;
    if (steps === 0) this.#startAnew();
    else this.#follow(candidate, steps, level);
    this.#learnHeight(this.all.peak[this.all.at(candidate)]! / level - 1);
    this.#last = candidate;
  }

  #startAnew(): void {
    this.#offS = this.#offVar = this.#intervalS = 0;
    this.#heightVar = START_HEIGHT_SCATTER ** 2;
    this.#missing = START_MISSING;
    this.#last = this.#beforeLast = -1;
  }

  #follow(candidate: number, steps: number, level: number): void {
    const isCounted = steps - 1 <= MOST && this.#isWhole(candidate, steps);
    if (isCounted && steps > 1) this.#look(candidate, steps, level);
    if (isCounted) this.#learnMissing(steps - 1);
    const isNext = isCounted && steps === 1;
    if (isNext && this.#beforeLast !== -1) this.#learnPlace(candidate);
    this.#beforeLast = isNext ? this.#last : -1;
    this.#intervalS = this.#sinceLastS(candidate) / steps;
  }

  /** Whether one of those told last stands within so many seconds of a time. */
  isAt(timeS: number, withinS: number): boolean {
    for (let n = 0; n < this.count; n++) if (Math.abs(this.timeS[n]! - timeS) < withinS) return true;
    return false;
  }

  #timeOf(candidate: number): number {
    return this.all.timeS[this.all.at(candidate)]!;
  }

  #sinceLastS(candidate: number): number {
    return this.#timeOf(candidate) - this.#timeOf(this.#last);
  }

  /** Whether all the sound since the last strike was heard, and it is as long as so many intervals are. */
  #isWhole(candidate: number, steps: number): boolean {
    const { all } = this;
    const sinceS = this.#sinceLastS(candidate);
    const samples = all.place[all.at(candidate)]! - all.place[all.at(this.#last)]!;
    if (Math.abs(sinceS * this.heard.sampleRateHz - samples) > LOST_SAMPLES) return false;
    return this.#intervalS === 0 || Math.abs(sinceS / this.#intervalS - steps) < UNCOUNTED;
  }

  #learnMissing(due: number): void {
    for (let n = 0; n <= due; n++)
      this.#missing += GAIN_MISSING * ((n < due - this.count ? 1 : 0) - this.#missing);
  }

  #learnHeight(off: number): void {
    this.#heightVar += GAIN * (Math.min(off * off, MOST_VARIANCES * this.#heightVar) - this.#heightVar);
  }

  /** How far the last strike lies from the middle of the one before and this one. */
  #learnPlace(candidate: number): void {
    const beforeS = this.#timeOf(this.#beforeLast);
    const afterS = this.#timeOf(candidate);
    const offS = this.#timeOf(this.#last) - (beforeS + afterS) / 2 - this.#offS;
    if (this.#offVar === 0) this.#offVar = startVar((afterS - beforeS) / 2);
    const limit = Math.sqrt(MOST_VARIANCES * this.#offVar);
    const limited = Math.max(-limit, Math.min(limit, offS));
    this.#offS += GAIN * limited;
    this.#offVar += GAIN * (limited * limited - this.#offVar);
  }

  #look(candidate: number, steps: number, level: number): void {
    const intervalS = this.#sinceLastS(candidate) / steps;
    const noise = this.all.noise[this.all.at(candidate)]!;
    for (let k = 1; k < steps; k++) {
      const lever = k * (steps - k); // a parabola through both neighbours
      const offS = lever * this.#offS;
      const scatterS = Math.sqrt(lever * (this.#offVar || startVar(intervalS)));
      if (Math.abs(offS) + WITHIN * scatterS < MOST_OFF * intervalS)
        this.#lookAt(k * intervalS + offS, scatterS, level, noise);
    }
  }

  /** @param dueS after the last strike */
  #lookAt(dueS: number, scatterS: number, level: number, noise: number): void {
    const { sampleRateHz } = this.heard;
    const lastAt = this.all.at(this.#last);
    const due = this.all.place[lastAt]! + dueS * sampleRateHz;
    const at = this.heard.lookAt(due, Math.ceil(WITHIN * scatterS * sampleRateHz));
    if (!at || at.amplitude < Math.max(LEAST_SHARE * level, LEAST_OVER_NOISE * noise)) return;
    const offS = (at.place - due) / sampleRateHz;
    const scatterVar = scatterS * scatterS + at.variance / (sampleRateHz * sampleRateHz);
    if (this.#evidence(at.amplitude, level, noise, offS, scatterVar) < LEAST_EVIDENCE) return;
    const n = this.count++;
    this.timeS[n] = this.all.timeS[lastAt]! + dueS + offS;
    this.timeVar[n] = scatterVar;
    this.height[n] = at.amplitude;
  }

  /** How much likelier a strike stands there than that none came and noise does, natural logarithm. */
  #evidence(height: number, level: number, noise: number, offS: number, scatterVar: number): number {
    const deviation = Math.max(noise, level * Math.sqrt(this.#heightVar));
    const z = (height - level) / deviation;
    const strike = -0.5 * z * z - Math.log(deviation / noise) - LOG_ROOT_TWO_PI;
    const place = (-0.5 * offS * offS) / scatterVar - 0.5 * Math.log(scatterVar) - LOG_ROOT_TWO_PI;
    const missing = Math.max(LEAST_MISSING, Math.min(MOST_MISSING, this.#missing));
    return strike + place - Math.log(noisePeaksHz(height / noise)) + Math.log((1 - missing) / missing);
  }
}

/** Of places about the middle, seconds squared, before anything is learnt. */
const startVar = (intervalS: number): number => (START_SCATTER * intervalS) ** 2;
