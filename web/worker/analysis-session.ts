/** One source being analysed: samples in; trace rows, the last strike and the signal report out. A change of engine or
 * channel, or sound that does not join, starts a new decoder; the trace's time goes on through all of them. */
import type { HeardSignal } from '../../core/decode-heard';
import type { FollowState } from '../../dsp/follow-state';
import type { SignalReport } from '../../dsp/strike-chain';
import type { AnalysisEngine, Latest } from './analysis-api';
import { createListener, type Listener } from './listener';
import { SparkWatch } from './spark-watch';
import { StrikePicture } from './strike-picture';
import { TraceBuffer } from './trace-buffer';

export interface SessionOptions {
  readonly sampleRateHz: number;
  readonly engine: AnalysisEngine;
  /** Which channel carries the clamp, from 0. */
  readonly channel: number;
  /** The trace's time at the first sample. */
  readonly startS: number;
}

type Said = Pick<
  Latest,
  'rpm' | 'rpmSd' | 'strikeAgeS' | 'strike' | 'strikePicture' | 'timeS' | 'report' | 'sensor' | 'dwell'
>;

const SILENT: SignalReport = {
  state: 'listening',
  reason: 'silence',
  peak: 0,
  rms: 0,
  clippedShare: 0,
  humAmplitude: null,
  humHz: null,
  steadyTone: null,
  strikeToNoiseDb: null,
  strikes: 0,
  missed: 0,
  setAside: 0,
  lostSamples: 0,
  slips: 0,
  slippedS: 0,
};
/** What is said before there is any source. */
export const NOTHING_HEARD: Said = {
  timeS: 0,
  rpm: null,
  rpmSd: null,
  strikeAgeS: null,
  strike: null,
  strikePicture: new Float32Array(0),
  report: SILENT,
  sensor: null,
  dwell: null,
};

/** The kept trace is made better by what comes after a strike, for about so long. */
const SMOOTH_WITHIN_S = 0.25;
/** A stretch without rows is a gap when it is longer than both. */
const GAP_INTERVALS = 8;
const GAP_S = 1;

export class AnalysisSession {
  readonly sampleRateHz: number;
  trace: TraceBuffer;
  #engine: AnalysisEngine;
  #channel: number;
  #listener: Listener;
  readonly #sparks = new SparkWatch();
  #picture: StrikePicture;
  /** The trace's time at the first sample of this source, and frames from there to the decoder's own first sample. */
  #startS: number;
  /** The trace's time at which it began: a strike heard before belongs to the trace before. */
  #traceFromS: number;
  #decoderFrame = 0;
  #frames = 0;
  #strike: { timeS: number; amplitude: number; rpm: number | null; rpmSd: number | null } | null = null;
  #lastIntervalS = Infinity;

  constructor({ sampleRateHz, engine, channel, startS }: SessionOptions) {
    this.sampleRateHz = sampleRateHz;
    this.#engine = engine;
    this.#channel = channel;
    this.#startS = startS;
    this.#traceFromS = startS;
    this.trace = traceFrom(startS);
    this.#listener = this.#newListener(1);
    this.#picture = new StrikePicture(sampleRateHz);
  }

  get timeS(): number {
    return this.#startS + this.#frames / this.sampleRateHz;
  }

  /** @param channels one array a channel; where the clamp's is not among them the last is taken */
  samples(channels: readonly Float32Array[]): void {
    const samples = channels[Math.min(this.#channel, channels.length - 1)];
    if (!samples) return;
    if (channels.length !== this.#listener.channelCount) this.#listen(channels.length);
    this.#picture.push(samples);
    this.#frames += samples.length;
    this.#listener.push(samples, channels);
  }

  /** Frames that never came. */
  lose(frames: number): void {
    this.trace.gap(this.timeS);
    this.#picture.lose(frames);
    this.#frames += frames;
    this.#listener.decoder.lose(frames);
  }

  /** What comes now does not join what came before. */
  segment(): void {
    this.#listener.decoder.finish();
    this.trace.gap(this.timeS);
    this.#listen(this.#listener.channelCount);
  }

  #listen(channelCount: number): void {
    this.#decoderFrame = this.#frames;
    this.#listener = this.#newListener(channelCount);
  }

  change(engine: AnalysisEngine, channel: number): void {
    const same = channel === this.#channel && JSON.stringify(engine) === JSON.stringify(this.#engine); // plain data
    if (same) return;
    this.#engine = engine;
    this.#channel = channel;
    this.#sparks.startAnew(); // another sensor's place, or other sparks
    this.segment();
  }

  /** The trace starts anew, with time `startS` now. The decoder goes on following. */
  startTraceAt(startS: number): void {
    this.#startS = startS - this.#frames / this.sampleRateHz;
    this.#traceFromS = startS;
    this.trace = traceFrom(startS);
    this.#sparks.startAnew();
  }

  /** No more comes: what waits is decided now. */
  finish(): void {
    this.#listener.decoder.finish();
    this.trace.gap(this.timeS);
  }

  said(): Said {
    const strike = this.#strike;
    const strikeTimeS = strike && this.#startS + strike.timeS;
    return {
      timeS: this.timeS,
      rpm: strike?.rpm ?? null,
      rpmSd: strike?.rpmSd ?? null,
      strikeAgeS: strikeTimeS === null ? null : Math.max(0, this.timeS - strikeTimeS),
      strike: strike && strikeTimeS !== null ? { timeS: strikeTimeS, amplitude: strike.amplitude } : null,
      strikePicture: strike ? this.#picture.about(strike.timeS) : new Float32Array(0),
      report: this.#listener.decoder.report(),
      sensor: this.#listener.sensor(),
      dwell: this.#listener.decoder.dwell(),
    };
  }

  heard(): HeardSignal | null {
    return this.#listener.decoder.heard();
  }

  #newListener(channelCount: number): Listener {
    const fromS = this.#decoderFrame / this.sampleRateHz;
    const options = { sampleRateHz: this.sampleRateHz, engine: this.#engine, smoothWithinS: SMOOTH_WITHIN_S };
    return createListener(options, this.#channel, channelCount, this.#sparks, {
      strike: (timeS, amplitude) => this.#struck(fromS + timeS, amplitude),
      row: (timeS, rpm, rpmSd, state) => this.#row(fromS + timeS, rpm, rpmSd, state),
      smoothed: (timeS, rpm, rpmSd) => this.#smoothed(this.#startS + (fromS + timeS), rpm, rpmSd),
      advance: (timeS, rpm, advanceDeg, sdDeg) => {
        const atS = this.#startS + fromS + timeS;
        if (atS >= this.#traceFromS) this.#sparks.add(atS, rpm, advanceDeg, sdDeg);
      },
    });
  }

  #struck(timeS: number, amplitude: number): void {
    if (this.#strike) this.#lastIntervalS = timeS - this.#strike.timeS;
    this.#strike = { timeS, amplitude, rpm: null, rpmSd: null };
  }

  /** @param timeS seconds since this source's first sample */
  #row(timeS: number, rpm: number, rpmSd: number, state: FollowState): void {
    const atS = this.#startS + timeS;
    const { endS } = this.trace;
    if (atS < this.#traceFromS || (endS !== null && atS <= endS)) return;
    if (endS !== null && atS - endS > Math.max(GAP_S, GAP_INTERVALS * this.#usualIntervalS()))
      this.trace.gap((endS + atS) / 2);
    if (state === 'lost') this.trace.gap(atS);
    else this.trace.add(atS, rpm, rpmSd);
    if (this.#strike) this.#strike = { ...this.#strike, rpm: state === 'lost' ? null : rpm, rpmSd };
  }

  #smoothed(atS: number, rpm: number, rpmSd: number): void {
    if (atS >= this.#traceFromS) this.trace.settle(atS, rpm, rpmSd);
  }

  #usualIntervalS(): number {
    return Number.isFinite(this.#lastIntervalS) ? this.#lastIntervalS : 0;
  }
}

/** A trace that goes on from another starts with a gap. */
function traceFrom(startS: number): TraceBuffer {
  const trace = new TraceBuffer();
  if (startS > 0) trace.add(startS, NaN, NaN);
  return trace;
}
