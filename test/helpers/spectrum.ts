/** Samples in, their spectrum out, by an independent library. */
import FFT from 'fft.js';

export interface Spectrum {
  /** One for each bin from 0 to half the size. */
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** @param samples a power of two of them; no window is laid on, nothing is scaled */
export function spectrumOf(samples: ArrayLike<number>): Spectrum {
  const fft = new FFT(samples.length);
  const out = fft.createComplexArray();
  fft.realTransform(out, samples);
  const bins = samples.length / 2 + 1;
  return {
    re: Float64Array.from({ length: bins }, (_, k) => out[2 * k]!),
    im: Float64Array.from({ length: bins }, (_, k) => out[2 * k + 1]!),
  };
}

/** Amplitude of a sine in each bin, for samples that hold whole cycles of it. */
export function lineAmplitudes(samples: ArrayLike<number>): Float64Array {
  const { re, im } = spectrumOf(samples);
  return re.map((x, k) => (2 * Math.hypot(x, im[k]!)) / samples.length);
}
