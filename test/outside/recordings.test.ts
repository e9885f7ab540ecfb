/** Recordings that nobody of this project made, through the decoder. Truth and tolerances: ../shared/data/README.md. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { createDecoder, type DecodeSummary } from '../../core/decode';
import { createWavReader } from '../../dsp/wav/wav-reader';
import { describeSharedData } from '../helpers/shared-data';

interface Heard {
  readonly timesS: number[];
  readonly rpms: number[];
  readonly summary: DecodeSummary;
}

/** A recording of one pulse a turn. */
function decodeSensor(path: string): Heard {
  const timesS: number[] = [];
  const rpms: number[] = [];
  let decoder: ReturnType<typeof createDecoder> | null = null;
  const engine = { strokes: 4, cylinders: 1, pickup: 'sensor' } as const;
  const reader = createWavReader(
    {
      facts: ({ sampleRateHz }) =>
        (decoder = createDecoder(
          { sampleRateHz, engine },
          { strike: (timeS) => timesS.push(timeS), row: (_, rpm) => rpms.push(rpm) },
        )),
      block: ([samples]) => decoder!.push(samples!),
    },
    [0],
  );
  reader.push(readFileSync(path));
  reader.finish();
  decoder!.finish();
  return { timesS, rpms, summary: decoder!.summary() };
}

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]!;

/** Mean rate a minute over the intervals that are not a late transition. */
function meanRate(timesS: readonly number[]): number {
  const intervals = timesS.slice(1).map((timeS, i) => timeS - timesS[i]!);
  const usual = median(intervals);
  const even = intervals.filter((interval) => Math.abs(interval / usual - 1) < 0.1);
  return (60 * even.length) / even.reduce((sum, each) => sum + each, 0);
}

describeSharedData(
  'light_59p: a screen that turns black and white each frame',
  'recordings/light_59p',
  (folder) => {
    const heard = decodeSensor(join(folder, 'recording.wav'));
    // a rising edge every 2 frames of 60000/1001 fps is 1798.202 a minute; the sound card's clock is within 0.01 %
    const TRUE_RPM = (60 * 60000) / 1001 / 2;

    test('the rate is right to 0.01 %', () => {
      expect(Math.abs(meanRate(heard.timesS) / TRUE_RPM - 1)).toBeLessThan(1e-4);
      expect(Math.abs(heard.summary.rpm!.median / TRUE_RPM - 1)).toBeLessThan(1e-4);
    });
    test('only one polarity of edge counts: half of the 3596 transitions', () => {
      // spec.json: transition_count 3596, and one edge at either end of the sequence
      expect(Math.abs(heard.timesS.length - 3596 / 2)).toBeLessThanOrEqual(1);
    });
    test('the one late transition of the recording, and nothing else, breaks the beat', () => {
      const intervals = heard.timesS.slice(1).map((timeS, i) => (timeS - heard.timesS[i]!) * (TRUE_RPM / 60));
      const odd = intervals.filter((interval) => Math.abs(interval - 1) > 0.1);
      expect(odd).toHaveLength(1);
      expect(odd[0]).toBeCloseTo(1.5, 1); // late by half a period
    });
  },
);

describeSharedData(
  'light_119p_inverted: another sensor, inverted, with an offset',
  'recordings/light_119p_inverted',
  (folder) => {
    test('the rate is right to 0.1 % on the whole', () => {
      // 119.88 fps: 3596.404 a minute; the recording itself wanders by 0.5 %
      const heard = decodeSensor(join(folder, 'recording.wav'));
      expect(Math.abs(meanRate(heard.timesS) / 3596.404 - 1)).toBeLessThan(1e-3);
      expect(Math.abs(heard.timesS.length - 598 / 2)).toBeLessThanOrEqual(2); // spec.json: 598 transitions
    });
  },
);
