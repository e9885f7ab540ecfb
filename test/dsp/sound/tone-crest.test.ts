import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { ToneCrest, TONE_CREST } from '../../../dsp/sound/tone-crest';

const RATE_HZ = 48_000;
function crestOf(sound: (timeS: number) => number, samples = 10_000): number | null {
  const meter = new ToneCrest(RATE_HZ);
  const raw = Float32Array.from({ length: samples }, (_, n) => sound(n / RATE_HZ));
  for (let at = 0; at < samples; at += 300) meter.run(raw.subarray(at), Math.min(300, samples - at));
  return meter.crest;
}

test('the crest of a pure tone is that of its three lines under a Hann window', () => {
  // Harris 1978, Hann window, a tone on a line (from memory): magnitudes 1/2, 1, 1/2 and nothing else among 1024 lines:
  // 1 / sqrt(1.5 / 1024) = 26.13
  const onALine = 100 * (RATE_HZ / 2048);
  expect(crestOf((t) => 0.1 * Math.sin(2 * Math.PI * onALine * t))).toBeCloseTo(26.13, 0);
});

test('white noise stays below the mark that tells a tone', () => {
  const random = createRandom(5, 0);
  for (let n = 0; n < 20; n++) expect(crestOf(() => random.normal() * 0.01)).toBeLessThan(TONE_CREST);
});

test('strikes alone stay below it, a whine with strikes in it does not', () => {
  const strike = (t: number): number => (t % 0.02 < 1 / RATE_HZ ? 0.5 : 0);
  expect(crestOf(strike)).toBeLessThan(TONE_CREST);
  expect(crestOf((t) => strike(t) + 0.1 * Math.sin(2 * Math.PI * 2500 * t))).toBeGreaterThan(TONE_CREST);
});

test('silence, and too little sound, have none', () => {
  expect(crestOf(() => 0)).toBeNull();
  expect(crestOf(() => 0.1, 1000)).toBeNull();
});
