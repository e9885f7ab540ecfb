/** The last strike as a line: samples in, SVG path out. Knows no engine and no colours. */

export interface StrikePath {
  readonly path: string;
  /** Full height stands for this share of full scale, up or down. */
  readonly fullShare: number;
  readonly spanMs: number;
}

/** @param samples shares of full scale @param sampleRateHz above 0 @returns null where there is nothing to draw */
export function strikePath(
  samples: Float32Array,
  sampleRateHz: number,
  widthPx: number,
  heightPx: number,
): StrikePath | null {
  if (samples.length < 2 || !(sampleRateHz > 0)) return null;
  const fullShare = samples.reduce((most, value) => Math.max(most, Math.abs(value)), 1e-6);
  const step = widthPx / (samples.length - 1);
  const middle = heightPx / 2;
  const points = Array.from(samples, (value, i) => {
    const y = middle - (value / fullShare) * (middle - 4);
    return `${(i * step).toFixed(1)} ${y.toFixed(1)}`;
  });
  return { path: `M${points.join('L')}`, fullShare, spanMs: (1000 * (samples.length - 1)) / sampleRateHz };
}
