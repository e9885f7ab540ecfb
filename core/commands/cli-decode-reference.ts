/** What the decode command does with a second channel: its options in, one decoder for one channel or two out. */
import { createDecoder } from '../decode';
import type { EngineFacts } from '../engine';
import { createAdvanceDecoder, type AdvanceCounts, type AdvanceEvents } from '../sensor/advance-decoder';
import { AdvanceSpread, type AdvanceRange } from '../sensor/advance-spread';
import type { SensorPlace } from '../sensor/spark-advance';
import { BadUsage, numberOf, type OptionValues } from './cli-command';

/** The crank sensor. */
export interface Reference extends SensorPlace {
  /** From 0. */
  readonly channel: number;
}

type DecodedEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** @param clampChannel from 0
 *  @returns null where no second channel is asked for */
export function referenceOf(
  values: OptionValues,
  { pickup }: DecodedEngine,
  clampChannel: number,
): Reference | null {
  const channel = numberOf(values, 'reference-channel', { from: 1, to: 65535, whole: true });
  const angleDeg = numberOf(values, 'reference-deg', { from: -360, to: 360 });
  const delayUs = numberOf(values, 'reference-delay-us', { from: -10_000, to: 10_000 });
  if (channel === null && angleDeg === null && delayUs === null) return null;
  if (channel === null || angleDeg === null)
    throw new BadUsage('decode: a crank sensor needs both --reference-channel and --reference-deg');
  if (pickup === 'sensor')
    throw new BadUsage('decode: --pickup sensor has no sparks; name where the clamp sits');
  if (channel - 1 === clampChannel)
    throw new BadUsage(`decode: --channel and --reference-channel must differ, both are ${channel}`);
  return { channel: channel - 1, angleDeg, delayUs: delayUs ?? 0 };
}

export interface SparkSummary extends AdvanceCounts {
  /** null where no spark has an advance. */
  readonly range: AdvanceRange | null;
}

export interface FileDecoder {
  push(clamp: Float32Array, sensor: Float32Array | undefined): void;
  finish(): void;
  summary(): ReturnType<ReturnType<typeof createDecoder>['summary']> & {
    readonly sparks: SparkSummary | null;
  };
}

/** @throws RangeError if the sample rate cannot be */
export function createFileDecoder(
  sampleRateHz: number,
  engine: DecodedEngine,
  reference: Reference | null,
  events: AdvanceEvents,
): FileDecoder {
  if (!reference) {
    const decoder = createDecoder({ sampleRateHz, engine }, events);
    return {
      push: (clamp) => decoder.push(clamp),
      finish: () => decoder.finish(),
      summary: () => ({ ...decoder.summary(), sparks: null }),
    };
  }
  const spread = new AdvanceSpread();
  const decoder = createAdvanceDecoder({ sampleRateHz, engine }, reference, {
    ...events,
    advance: (timeS, rpm, advanceDeg, sdDeg) => {
      spread.add(advanceDeg, sdDeg);
      events.advance?.(timeS, rpm, advanceDeg, sdDeg);
    },
  });
  return {
    push: (clamp, sensor) => decoder.push(clamp, sensor!),
    finish: () => decoder.finish(),
    summary: () => ({
      ...decoder.summary(),
      sparks: { ...decoder.counts(), range: spread.range },
    }),
  };
}
