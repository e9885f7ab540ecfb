/** One decoder for the channels that there are: the clamp's alone, or with a crank sensor's beside it. */
import { createDecoder, type DecodeOptions, type Decoder } from '../../core/decode';
import { createAdvanceDecoder, type AdvanceEvents } from '../../core/sensor/advance-decoder';
import type { AnalysisEngine, SensorLatest } from './analysis-api';
import type { SparkWatch } from './spark-watch';

export interface Listener {
  readonly channelCount: number;
  readonly decoder: Pick<Decoder, 'lose' | 'finish' | 'report' | 'dwell' | 'heard'>;
  /** @param clamp the clamp's channel @param channels all, the clamp's among them */
  push(clamp: Float32Array, channels: readonly Float32Array[]): void;
  /** null where no crank sensor is heard. */
  sensor(): SensorLatest | null;
}

/** Advances are told by this angle while nobody has said where the sensor stands. */
export const ANGLE_NOT_SAID_DEG = 60;

/** @param clampChannel from 0 @param sparks told of each spark that has an advance
 *  @throws RangeError if the engine's figures or the sample rate cannot be */
export function createListener(
  options: DecodeOptions & { readonly engine: AnalysisEngine },
  clampChannel: number,
  channelCount: number,
  sparks: SparkWatch,
  events: AdvanceEvents,
): Listener {
  const { crankSensor, pickup } = options.engine;
  const channel = crankSensor && crankSensor.channel - 1;
  if (channel === null || channel >= channelCount || channel === clampChannel || pickup === 'sensor') {
    const decoder = createDecoder(options, events);
    return { channelCount, decoder, push: (clamp) => decoder.push(clamp), sensor: () => null };
  }
  const isPlaced = crankSensor!.angleDeg !== null;
  const angleDeg = crankSensor!.angleDeg ?? ANGLE_NOT_SAID_DEG;
  const decoder = createAdvanceDecoder(options, { angleDeg, delayUs: crankSensor!.delayUs }, events);
  return {
    channelCount,
    decoder,
    push: (clamp, channels) => decoder.push(clamp, channels[channel]!),
    sensor: () => ({ ...sparks.said(), ...decoder.counts(), isPlaced }),
  };
}
