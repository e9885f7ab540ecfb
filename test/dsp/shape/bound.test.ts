import { describe, expect, test } from 'vitest';
import { colouredBound, timingBound } from '../../../dsp/shape/bound';
import { createRandom } from '../../../dsp/maker/random';

const FINE = 32;
/** A Gaussian pulse of height 1 and that width, drawn out to eight widths. */
const pulse = (widthSamples: number): Float64Array =>
  Float64Array.from({ length: 16 * widthSamples * FINE + 1 }, (_, j) =>
    Math.exp(-0.5 * (j / FINE / widthSamples - 8) ** 2),
  );

describe('timingBound', () => {
  // Closed form by hand: the integral of the squared slope of exp(-t²/2w²) is √π/(2w), one sample apart.
  test.each([3, 6, 12])('is the closed form of a Gaussian pulse %i samples wide', (width) => {
    const closed = 0.1 / Math.sqrt(Math.sqrt(Math.PI) / (2 * width));
    expect(timingBound(pulse(width), FINE, 0.1) / closed).toBeCloseTo(1, 4); // slopes of chords err by 1/24 FINE² w²
  });

  // Stein's form of the same bound, seen at mhostetter.github.io/sdr (sdr.toa_crlb): 1 / (2π B_rms √(2E/N0)); a Gaussian
  // pulse of width w has a power spectrum of standard deviation 1/(2π w √2), 2E/N0 is Σs²/σ² = w√π/σ².
  test('is the bound by rms bandwidth and energy', () => {
    const [width, sigma] = [5, 0.05];
    const rmsBandwidth = 1 / (2 * Math.PI * width * Math.SQRT2);
    const stein = 1 / (2 * Math.PI * rmsBandwidth * (Math.sqrt(width * Math.sqrt(Math.PI)) / sigma));
    expect(timingBound(pulse(width), FINE, sigma) / stein).toBeCloseTo(1, 4);
  });

  // Least squares on the true shape is efficient at this height over the noise: 2000 draws tell its deviation to 1.6 %.
  test('is what least squares on the true shape and slope attains in made noise', () => {
    const [width, sigma, draws] = [4, 0.02, 2000];
    const random = createRandom(5);
    const shape = Float64Array.from({ length: 64 }, (_, n) => Math.exp(-0.5 * ((n - 32) / width) ** 2));
    const slope = shape.map((height, n) => (-(n - 32) / width ** 2) * height);
    const norm = slope.reduce((sum, each) => sum + each * each, 0);
    let square = 0;
    for (let d = 0; d < draws; d++) {
      const late = slope.reduce((sum, each) => sum + each * sigma * random.normal(), 0) / norm;
      square += late * late;
    }
    const attained = Math.sqrt(square / draws) / timingBound(pulse(width), FINE, sigma);
    expect(attained).toBeGreaterThan(0.95);
    expect(attained).toBeLessThan(1.05);
  });

  test('refuses a noise of nothing and a shape of two points', () => {
    expect(() => timingBound([0, 1, 0], 1, 0)).toThrow(RangeError);
    expect(() => timingBound([0, 1], 1, 0.1)).toThrow(RangeError);
    expect(() => timingBound([0, 1, 0], 0.5, 0.1)).toThrow(RangeError);
  });
});

describe('colouredBound', () => {
  test('is the white bound where the noise is white', () => {
    expect(colouredBound(pulse(3), 8, [0.01]) / timingBound(pulse(3), 8, 0.1)).toBeCloseTo(1, 3);
  });

  // Closed form by hand. Noise x[n] = a x[n-1] + e[n] becomes white by e[n] = x[n] - a x[n-1]; so does the slope, whose
  // energy is then (1 + a²) R(0) - 2 a R(1), R(t) = √π/(2w) (1 - t²/2w²) exp(-t²/4w²) the slope's with itself.
  test.each([-0.8, 0.5, 0.9])('is the closed form of a Gaussian pulse in noise that goes on by %f', (on) => {
    const [width, sigma] = [4, 0.1];
    const r = (t: number): number =>
      (Math.sqrt(Math.PI) / (2 * width)) *
      (1 - (t * t) / (2 * width * width)) *
      Math.exp((-t * t) / (4 * width * width));
    const closed = (sigma * Math.sqrt(1 - on * on)) / Math.sqrt((1 + on * on) * r(0) - 2 * on * r(1));
    const covariance = Float64Array.from({ length: 64 }, (_, lag) => sigma * sigma * on ** lag);
    expect(colouredBound(pulse(width), FINE, covariance) / closed).toBeCloseTo(1, 3);
  });

  test('refuses a covariance that no noise has, and a shape of half a point a sample', () => {
    expect(() => colouredBound(pulse(3), FINE, [1, 2])).toThrow(RangeError);
    expect(() => colouredBound(pulse(3), 0.5, [1])).toThrow(RangeError);
  });
});
