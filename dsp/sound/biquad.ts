/** Second-order filter sections: corner and rate in, samples filtered a block at a time. Knows no strike. */

/** One section, its two delays carried from block to block. Allocates nothing while it runs. */
export class Biquad {
  #z1 = 0;
  #z2 = 0;
  constructor(
    private readonly b0: number,
    private readonly b1: number,
    private readonly b2: number,
    private readonly a1: number,
    private readonly a2: number,
  ) {}

  /** @param input samples @param output where the filtered samples go, may be the input @param length how many */
  run(input: Float32Array | Float64Array, output: Float64Array, length: number): void {
    const { b0, b1, b2, a1, a2 } = this;
    let z1 = this.#z1;
    let z2 = this.#z2;
    for (let n = 0; n < length; n++) {
      const x = input[n]!;
      const y = b0 * x + z1;
      z1 = b1 * x - a1 * y + z2;
      z2 = b2 * x - a2 * y;
      output[n] = y;
    }
    this.#z1 = Math.abs(z1) < 1e-30 ? 0 : z1; // silence must not crawl through denormal numbers
    this.#z2 = Math.abs(z2) < 1e-30 ? 0 : z2;
  }
}

interface Corner {
  readonly cornerHz: number;
  readonly sampleRateHz: number;
  /** Quality: Butterworth of order 4 is 0.5412 and 1.3066 in turn, of order 2 0.7071. */
  readonly quality: number;
}

function corner({ cornerHz, sampleRateHz, quality }: Corner): { cosine: number; alpha: number } {
  if (!(cornerHz > 0 && cornerHz < sampleRateHz / 2))
    throw new RangeError(`a corner must lie between 0 and half of ${sampleRateHz} Hz, got ${cornerHz} Hz`);
  const angle = (2 * Math.PI * cornerHz) / sampleRateHz;
  return { cosine: Math.cos(angle), alpha: Math.sin(angle) / (2 * quality) };
}

/** A high-pass section. @source bilinear transform of s²/(s² + s/Q + 1), prewarped; Oppenheim & Schafer ch. 7 (memory)
 * @throws RangeError if the corner does not lie below half the rate */
export function highPass(where: Corner): Biquad {
  const { cosine, alpha } = corner(where);
  const b = (1 + cosine) / 2 / (1 + alpha);
  return new Biquad(b, -2 * b, b, (-2 * cosine) / (1 + alpha), (1 - alpha) / (1 + alpha));
}

/** A low-pass section. @source bilinear transform of 1/(s² + s/Q + 1), prewarped; Oppenheim & Schafer ch. 7 (memory)
 * @throws RangeError if the corner does not lie below half the rate */
export function lowPass(where: Corner): Biquad {
  const { cosine, alpha } = corner(where);
  const b = (1 - cosine) / 2 / (1 + alpha);
  return new Biquad(b, 2 * b, b, (-2 * cosine) / (1 + alpha), (1 - alpha) / (1 + alpha));
}
