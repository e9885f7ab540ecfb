import { describe, expect, test } from 'vitest';
import { startBefore } from '../../../dsp/shape/strike-start';
import { SampleRing } from '../../../dsp/sound/sample-ring';

const RATE_HZ = 48_000;
const STARTS = [2000, 5000, 8000];

/** One swing of a sample at each start, and a taller one so much later. */
function ringWith(laterSamples: number): SampleRing {
  const ring = new SampleRing(16_384);
  const samples = new Float64Array(10_000);
  for (const start of STARTS) {
    samples[start] = 0.8;
    samples[start + laterSamples] = -1;
  }
  ring.push(samples, samples.length);
  return ring;
}

describe('where strikes begin', () => {
  test('a strike begins at its first swing, though it rings taller half a millisecond later', () => {
    const later = Math.round(0.52e-3 * RATE_HZ);
    const peaks = STARTS.map((start) => start + later);
    expect(Math.abs(startBefore(ringWith(later), peaks, RATE_HZ) + later)).toBeLessThanOrEqual(1);
  });

  test('a strike that begins at its peak begins there', () => {
    const start = startBefore(ringWith(40), STARTS, RATE_HZ);
    expect(Math.abs(start)).toBeLessThanOrEqual(1);
  });

  test('where all of the stretch is as tall, nothing is told', () => {
    const ring = new SampleRing(16_384);
    ring.push(new Float64Array(10_000).fill(0.5), 10_000);
    expect(startBefore(ring, STARTS, RATE_HZ)).toBe(0);
  });
});
