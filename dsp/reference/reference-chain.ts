/** The second channel: samples of clamp and crank sensor in, the sensor's pulses out, each at the instant when its leading
 * edge passes half its height. The pulses are followed as strikes are, so that what is missing or extra moves nothing;
 * the edges are measured on the samples themselves, hum taken out. Streaming, one thread, no clock. */
import type { FollowState } from '../follow-state';
import { HumCanceller } from '../sound/hum-canceller';
import { interpolate, REACH, SampleRing } from '../sound/sample-ring';
import { createStrikeChain, type StrikeChain } from '../strike-chain';
import { leadingEdge, type Stretch } from './edge';
import { History } from './history';
import { Leak } from './leak';
import { TurnCount } from './turn-count';

export interface ReferenceOptions {
  readonly sampleRateHz: number;
  /** Pulse rates that can be, hertz. */
  readonly lowestRateHz: number;
  readonly highestRateHz: number;
}

/** One pulse. The same object each time: copy what is kept. */
export interface ReferencePulse {
  /** Seconds since the first sample, lost samples counted. */
  timeS: number;
  /** Standard deviation of timeS by the noise about it, seconds. */
  sdS: number;
  /** Height with its sign, share of full scale. */
  height: number;
  /** Turns since the pulse before: above 1 where some were missed; 0: it does not follow on from the one before. */
  turns: number;
}

/** What stands in the sound as a pulse does. */
export type StandingPulse = Omit<ReferencePulse, 'turns'>;

export interface ReferenceChain {
  /** @param clamp @param sensor one channel each, equal lengths, full scale ±1 */
  push(clamp: Float32Array, sensor: Float32Array): void;
  /** Samples that never came: time goes on. */
  lose(samples: number): void;
  finish(): void;
  /** A strike on the clamp's channel, so that its leak is learnt. */
  struck(timeS: number): void;
  /** What rises from the usual level by a height or more between two pulses, followed or not; nothing where that is heard
   * no longer. @param fromS @param untilS times of the pulses: what belongs to them is none of it */
  standing(fromS: number, untilS: number, leastHeight: number): StandingPulse[];
  readonly state: FollowState;
  readonly pulses: number;
  readonly missed: number;
}

/** The samples are brought this much closer for measuring. */
const CLOSER = 4;
/** A pulse is looked at so far to either side, and no further than a share of a turn. */
const ABOUT_S = 4e-3;
const ABOUT_SHARE = 0.2;
/** The usual level is the middle of so many samples over the last turn or so. */
const LEVEL_SAMPLES = 255;
/** Decisions may wait for so many of the longest intervals. */
const WAITS = 16;
/** A strike nearer than this to a pulse teaches nothing of the leak. */
const APART_S = 2e-3;
const WAITING_STRIKES = 64;
/** Which way pulses rise is learnt over so many, and known once their mean sign is this large: where hum swells, the other
 * lobe of one may seem to come first. */
const SIGN_SHARE = 0.05;
const AGREE = 0.8;

class Reference implements ReferenceChain {
  readonly #clamp: History;
  readonly #sensor: History;
  readonly #leak: Leak;
  readonly #hum: HumCanceller;
  readonly #chain: StrikeChain;
  readonly #near: SampleRing;
  readonly #samples: Float64Array;
  readonly #level = new Float64Array(LEVEL_SAMPLES);
  readonly #pulse: ReferencePulse = { timeS: 0, sdS: 0, height: 0, turns: 0 };
  #strikes: number[] = [];
  #lastS: number | null = null;
  readonly #turns = new TurnCount();
  #lastRateHz: number | null = null;
  /** Mean sign of the last pulses. */
  #sign = 0;
  pulses = 0;
  missed = 0;

  constructor(
    private readonly options: ReferenceOptions,
    private readonly onPulse: (pulse: Readonly<ReferencePulse>) => void,
  ) {
    const { sampleRateHz, lowestRateHz, highestRateHz } = options;
    const longest = (WAITS / lowestRateHz + 1) * sampleRateHz;
    this.#clamp = new History(longest);
    this.#sensor = new History(longest);
    this.#hum = new HumCanceller(sampleRateHz, (quiet) => {
      this.#sensor.push(quiet);
      this.#chain.push(quiet);
    });
    this.#leak = new Leak(this.#clamp, this.#sensor, sampleRateHz);
    const about = 2 * Math.ceil(ABOUT_S * sampleRateHz) + 1;
    this.#near = new SampleRing(about + 4 * REACH);
    this.#samples = new Float64Array(CLOSER * about);
    this.#chain = createStrikeChain(
      { sampleRateHz, lowestRateHz, highestRateHz, pulses: 'slow' },
      ({ timeS, rateHz }) => this.#heard(timeS, rateHz),
    );
  }

  get state(): FollowState {
    return this.#chain.report().state;
  }

  push(clamp: Float32Array, sensor: Float32Array): void {
    this.#clamp.push(clamp);
    this.#hum.push(sensor);
  }

  lose(samples: number): void {
    this.#clamp.lose(samples);
    this.#hum.lose(samples);
    this.#sensor.lose(samples);
    this.#chain.lose(samples);
  }

  finish(): void {
    this.#hum.finish();
    this.#chain.finish();
  }

  struck(timeS: number): void {
    this.#strikes.push(timeS);
    if (this.#strikes.length > WAITING_STRIKES) this.#strikes.shift();
  }

  standing(fromS: number, untilS: number, leastHeight: number): StandingPulse[] {
    const { sampleRateHz } = this.options;
    const found: StandingPulse[] = [];
    const apart = Math.min(ABOUT_S, ABOUT_SHARE * (untilS - fromS));
    const from = Math.round((fromS + apart) * sampleRateHz);
    const until = Math.round((untilS - apart) * sampleRateHz);
    if (from < this.#sensor.oldest || until > this.#sensor.end) return found;
    const level = this.#usualLevel((from + until) / 2, untilS - fromS);
    for (let frame = from; frame < until; frame++) {
      if (Math.abs(this.#sensor.at(frame) - level) < leastHeight) continue;
      if (Math.abs(this.#leak.without(frame) - level) < leastHeight) continue;
      const edge = this.#edgeAt(frame / sampleRateHz, 1 / (untilS - fromS));
      frame += Math.round(ABOUT_S * sampleRateHz);
      if (edge && edge.timeS > fromS + apart && edge.timeS < untilS - apart) found.push(edge);
    }
    return found;
  }

  /** The chain tells a pulse somewhere on it. */
  #heard(aboutS: number, rateHz: number | null): void {
    this.#learnLeak(aboutS);
    const edge = this.#edgeAt(aboutS, rateHz);
    if (!edge) return;
    const pulse = this.#pulse;
    const sinceS = this.#lastS === null ? null : edge.timeS - this.#lastS;
    const rate = rateHz ?? this.#lastRateHz;
    pulse.timeS = edge.timeS;
    pulse.sdS = edge.sdS;
    pulse.height = edge.height;
    if (sinceS !== null && !(sinceS > 0)) return;
    const follows = sinceS !== null && sinceS <= WAITS / this.options.lowestRateHz;
    if (!follows) this.#turns.startAnew();
    pulse.turns = follows ? this.#turns.between(sinceS, rate) : 0;
    this.missed += Math.max(0, pulse.turns - 1);
    this.pulses++;
    this.#lastS = edge.timeS;
    this.#lastRateHz = rateHz;
    this.#sign += SIGN_SHARE * (Math.sign(edge.height) - this.#sign);
    this.onPulse(pulse);
  }

  /** Learns from the strikes before a pulse that stand well apart from it and from the pulse before. */
  #learnLeak(pulseS: number): void {
    const before = this.#lastS ?? -Infinity;
    this.#strikes = this.#strikes.filter((timeS) => {
      if (timeS > pulseS - APART_S) return true;
      if (timeS > before + APART_S) this.#leak.learn(Math.round(timeS * this.options.sampleRateHz));
      return false;
    });
  }

  /** The way in which pulses rise; null before enough agree. */
  get #rises(): 1 | -1 | null {
    if (Math.abs(this.#sign) < AGREE) return null;
    return this.#sign > 0 ? 1 : -1;
  }

  #edgeAt(aboutS: number, rateHz: number | null): { timeS: number; sdS: number; height: number } | null {
    const { sampleRateHz } = this.options;
    const turnS = rateHz === null ? Infinity : 1 / rateHz;
    const reach = Math.floor(Math.min(ABOUT_S, ABOUT_SHARE * turnS) * sampleRateHz);
    const centre = Math.round(aboutS * sampleRateHz);
    const from = Math.max(this.#sensor.oldest + REACH + 2, centre - reach);
    const until = Math.min(this.#sensor.end - REACH - 2, centre + reach);
    if (until - from < 8) return null;
    const stretch = this.#closer(from, until);
    const edge = leadingEdge(
      stretch,
      this.#usualLevel(centre, turnS),
      CLOSER * sampleRateHz,
      CLOSER,
      this.#rises,
    );
    if (!edge) return null;
    const { place, placeSd, height } = edge;
    return { timeS: (from + place / CLOSER) / sampleRateHz, sdS: placeSd / CLOSER / sampleRateHz, height };
  }

  /** Samples without the leak, brought closer by band-limited interpolation. */
  #closer(from: number, until: number): Stretch {
    const near = this.#near;
    const count = until - from;
    near.end = 0;
    for (let frame = from - REACH; frame < until + REACH; frame++)
      near.samples[(frame - from + REACH) & near.mask] = this.#leak.without(frame);
    for (let phase = 0; phase < CLOSER; phase++)
      interpolate(near, REACH + phase / CLOSER, count, this.#samples, phase, CLOSER);
    return { length: CLOSER * (count - 1) + 1, samples: this.#samples };
  }

  /** The middle of what stands over about a turn: pulses are short. */
  #usualLevel(centre: number, turnS: number): number {
    const half = (Math.min(turnS, 1 / this.options.lowestRateHz) * this.options.sampleRateHz) / 2;
    const from = Math.max(this.#sensor.oldest, centre - half);
    const step = (Math.min(this.#sensor.end - 1, centre + half) - from) / LEVEL_SAMPLES;
    for (let i = 0; i < LEVEL_SAMPLES; i++)
      this.#level[i] = this.#sensor.at(Math.floor(from + (i + 0.5) * step));
    this.#level.sort();
    return this.#level[LEVEL_SAMPLES >> 1]!;
  }
}

/** @param onPulse told of each pulse, in order of time
 * @throws RangeError if a rate cannot be */
export const createReferenceChain = (
  options: ReferenceOptions,
  onPulse: (pulse: Readonly<ReferencePulse>) => void,
): ReferenceChain => new Reference(options, onPulse);
