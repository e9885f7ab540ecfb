/** Samples of the clamp's channel in; strikes, trace rows and a summary out. Pure, block by block, live or from a file:
 * an hour takes no more memory than a minute. */
import type { Closing } from '../dsp/closing/closing';
import type { FollowState } from '../dsp/follow-state';
import {
  createStrikeChain,
  type SignalReport,
  type SmoothedRate,
  type Strike,
  type StrikeChain,
} from '../dsp/strike-chain';
import { heardOf, type HeardSignal } from './decode-heard';
import { dwellSeen, type DwellSeen } from './decode-dwell';
import { strikesPerTurn } from './engine';
import { chainOptionsFor, speedOf, type SpeedEngine } from './speed';
import { SpeedSpread, type RpmRange } from './speed-spread';

export interface DecodeOptions {
  readonly sampleRateHz: number;
  readonly engine: SpeedEngine;
  /** `smoothed` comes not much later than this, seconds, nor after more than 24 strikes; where not said, these alone. */
  readonly smoothWithinS?: number;
}

/** Told in order of time, a strike before its row. */
export interface DecodeEvents {
  /** @param timeS since the first sample @param amplitude peak, share of full scale */
  strike?(timeS: number, amplitude: number): void;
  /** @param rpm the speed at that strike from the strikes up to it @param rpmSd its standard deviation */
  row?(timeS: number, rpm: number, rpmSd: number, state: FollowState): void;
  /** The same strikes as `row`, some strikes later: @param rpm the speed by what came before and after */
  smoothed?(timeS: number, rpm: number, rpmSd: number, state: FollowState): void;
}

export interface DecodeSummary {
  /** null where no speed was found. */
  readonly rpm: RpmRange | null;
  readonly report: SignalReport;
  /** null where the clamp does not sit on the coil lead. */
  readonly dwell: DwellSeen | null;
}

export interface Decoder {
  /** @param samples of the clamp's channel, full scale ±1, any length */
  push(samples: Float32Array): void;
  /** Samples that never came: time goes on. */
  lose(samples: number): void;
  /** No more comes: what waits is decided now. */
  finish(): void;
  report(): SignalReport;
  /** Of points heard closing; the same object until it is judged anew. @returns null where not on the coil lead */
  dwell(): DwellSeen | null;
  /** What the strikes look like by now, made anew each time; null before one is learnt. */
  heard(): HeardSignal | null;
  summary(): DecodeSummary;
  /** Standard deviation of a strike's time by what stands beside its shape, seconds, worked out anew each time.
   * @returns null before a strike is learnt */
  timingS(): number | null;
  /** Seconds of signal so far, lost samples counted. */
  readonly timeS: number;
}

/** @throws RangeError if the engine's figures or the sample rate cannot be */
export function createDecoder(
  { sampleRateHz, engine, smoothWithinS = Infinity }: DecodeOptions,
  events: DecodeEvents,
): Decoder {
  const perTurn = strikesPerTurn(engine);
  const spread = new SpeedSpread();
  const struck = (strike: Readonly<Strike>): void => {
    events.strike?.(strike.timeS, strike.amplitude);
    const speed = speedOf(strike, perTurn);
    if (!speed) return;
    spread.add(speed.rpm);
    events.row?.(strike.timeS, speed.rpm, speed.rpmSd, strike.state);
  };
  const smoothed = (strike: Readonly<SmoothedRate>): void => {
    const speed = speedOf(strike, perTurn);
    if (speed) events.smoothed?.(strike.timeS, speed.rpm, speed.rpmSd, 'following');
  };
  const chain: StrikeChain = createStrikeChain(
    chainOptionsFor(engine, sampleRateHz),
    struck,
    events.smoothed ? { lagS: smoothWithinS, onSmoothed: smoothed } : null,
  );
  let [judged, seen]: [Closing | null, DwellSeen | null] = [null, null];
  const dwell = (): DwellSeen | null => {
    const closing = chain.closing();
    if (closing !== judged) [judged, seen] = [closing, dwellSeen(closing, engine.cylinders)];
    return seen;
  };
  return {
    push: (samples) => chain.push(samples),
    lose: (samples) => chain.lose(samples),
    finish: () => chain.finish(),
    report: () => chain.report(),
    heard: () => heardOf(chain.picture(), chain.report()),
    dwell,
    timingS: () => chain.picture()?.timingS ?? null,
    summary: () => ({ rpm: spread.range, report: chain.report(), dwell: dwell() }),
    get timeS() {
      return chain.timeS;
    },
  };
}
