/** How the scatter of readings changes with speed: residuals in, weights out. */

/** What is expected of the growth before any reading. Common practice: the mark wanders at higher speeds. */
export const USUAL_GROWTH = 0.1;
const USUAL_GROWTH_SD = 0.6;
const STEEPEST = 1.6;
const STEP = 0.05;

/** The natural logarithm of scatter at the highest reading over that at the lowest, drawn towards what is
 * usual where the readings are few.
 * @param place 0 at the lowest reading to 1 at the highest
 * @param residuals about a curve, each already divided by √(1 − its leverage)
 * @returns 0 for even scatter; positive where it grows
 * @source Likelihood of a normal scatter exp(a + b·place), profiled over a, b with a normal prior: Davidian
 * and Carroll, J. Am. Stat. Assoc. 82 (1987) 1079 (from memory) */
export function scatterGrowth(place: ArrayLike<number>, residuals: ArrayLike<number>): number {
  const n = residuals.length;
  const mean = Array.from(place).reduce((sum, p) => sum + p, 0) / n;
  const cost = (growth: number): number => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += residuals[i]! ** 2 * Math.exp(-2 * growth * (place[i]! - mean));
    return (
      (n / 2) * Math.log(Math.max(sum, Number.MIN_VALUE)) +
      (growth - USUAL_GROWTH) ** 2 / (2 * USUAL_GROWTH_SD ** 2)
    );
  };
  let best = USUAL_GROWTH;
  for (let growth = -STEEPEST; growth <= STEEPEST; growth += STEP)
    if (cost(growth) < cost(best)) best = growth;
  return best;
}

/** Weights for readings: less where the scatter grows with speed and where an unsteady speed on the ramp adds to it.
 * @param slopes of the curve at each reading, degrees per rpm; @param rpmSd standard deviation of each speed, 0 where
 * not known; @param sdDeg scatter of a reading in mid-span
 * @returns weights whose mean is 1 */
export function readingWeights(
  place: ArrayLike<number>,
  growth: number,
  slopes: ArrayLike<number>,
  rpmSd: ArrayLike<number>,
  sdDeg: number,
): Float64Array {
  const raw = Float64Array.from(place, (p, i) => {
    const own = Math.max(sdDeg, 0.1) ** 2 * Math.exp(2 * growth * (p - 0.5));
    return 1 / (own + (slopes[i]! * rpmSd[i]!) ** 2);
  });
  const mean = raw.reduce((sum, w) => sum + w, 0) / raw.length;
  return raw.map((w) => w / mean);
}
