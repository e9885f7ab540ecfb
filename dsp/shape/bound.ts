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
