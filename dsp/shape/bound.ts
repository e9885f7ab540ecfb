/** How well a strike can be timed at all: its shape and the noise in, the least standard deviation of its time out. Knows
 * samples only. */

/** The least standard deviation that an unbiased estimate of a strike's time can have in white noise: the noise's by the
 * norm of the shape's sampled slope.
 * @param points the shape, band-limited, its ends near 0 @param pointsPerSample how finely it is drawn, 1 or more
 * @param noiseSd standard deviation of the noise, in the shape's unit @returns samples
 * @throws RangeError if the noise is not above 0, there are fewer than three points or less than one a sample
 * @source the Cramér-Rao bound for time delay: Kay, Fundamentals of Statistical Signal Processing I, ch. 3 (memory) */
export function timingBound(points: ArrayLike<number>, pointsPerSample: number, noiseSd: number): number {
  if (!(noiseSd > 0)) throw new RangeError(`noise must be above 0, got ${noiseSd}`);
  if (!(pointsPerSample >= 1) || points.length < 3)
    throw new RangeError(
      `a shape needs three points or more, one a sample or more, got ${points.length}, ${pointsPerSample} a sample`,
    );
  let sum = 0;
  for (let j = 1; j < points.length; j++) {
    const slope = (points[j]! - points[j - 1]!) * pointsPerSample;
    sum += (slope * slope) / pointsPerSample; // the sampled slope's square, on the mean over where samples may fall
  }
  return noiseSd / Math.sqrt(sum);
}

/** The least standard deviation that an unbiased estimate of a strike's time can have in noise that is not white.
 * @param points @param pointsPerSample as above, a whole number @param covariance of the noise with itself so many samples
 * later, in the shape's unit squared; as far as given, then 0 @returns samples
 * @throws RangeError if the shape is drawn too coarsely, or no noise has such a covariance
 * @source Kay, Fundamentals of Statistical Signal Processing I, ch. 3: Gaussian noise, information s'ᵀ C⁻¹ s' (memory) */
export function colouredBound(
  points: ArrayLike<number>,
  pointsPerSample: number,
  covariance: ArrayLike<number>,
): number {
  if (!(Number.isInteger(pointsPerSample) && pointsPerSample >= 1))
    throw new RangeError(`a shape needs a whole number of points a sample, got ${pointsPerSample}`);
  const length = Math.floor((points.length - 1) / pointsPerSample);
  const root = rootOf(covariance, length);
  let sum = 0;
  for (let phase = 1; phase <= pointsPerSample; phase++) {
    const white = new Float64Array(length);
    for (let n = 0, j = phase; n < length; n++, j += pointsPerSample) {
      white[n] = (points[j]! - points[j - 1]!) * pointsPerSample;
      for (let k = 0; k < n; k++) white[n]! -= root[n * length + k]! * white[k]!;
      white[n]! /= root[n * length + n]!;
      sum += white[n]! * white[n]!;
    }
  }
  return 1 / Math.sqrt(sum / pointsPerSample);
}

/** Cholesky's root of the matrix that holds a covariance by lag, lower half by rows. */
function rootOf(covariance: ArrayLike<number>, length: number): Float64Array {
  const root = new Float64Array(length * length);
  for (let i = 0; i < length; i++)
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i - j] ?? 0;
      for (let k = 0; k < j; k++) sum -= root[i * length + k]! * root[j * length + k]!;
      if (i === j && !(sum > 0))
        throw new RangeError(`no noise has such a covariance, ${covariance[0]} at 0`);
      root[i * length + j] = i === j ? Math.sqrt(sum) : sum / root[j * length + j]!;
    }
  return root;
}
