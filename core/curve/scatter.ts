/** How the scatter of readings changes with speed: residuals in, weights out. */

/** What is expected of the growth before any reading. Common practice: the mark wanders at higher speeds. */
const USUAL_GROWTH = 0.25;
/** How far from the usual it often lies. Engines differ widely, so the chance falls off slowly beyond: as Student's t. */
const USUAL_REACH = 1;
const USUAL_TAILS = 4;
const STEEPEST = 2.5;
const STEP = 0.05;

/** The natural logarithm of scatter at the highest reading over that at the lowest, drawn towards what is
 * usual where the readings are few.
 * @param place 0 at the lowest reading to 1 at the highest
 * @param residuals about a curve, each already divided by √(1 − its leverage)
 * @param evenVariance what rounding adds to each, so that figures which agree by chance prove nothing
 * @returns 0 for even scatter; positive where it grows
 * @source Likelihood of a normal scatter exp(a + b·place), profiled over a and b, with a prior on b: Davidian
 * and Carroll, J. Am. Stat. Assoc. 82 (1987) 1079 (from memory) */
export function scatterGrowth(
  place: ArrayLike<number>,
  residuals: ArrayLike<number>,
  evenVariance = 0,
): number {
  const mean = Array.from(place).reduce((sum, p) => sum + p, 0) / residuals.length;
  return likeliest((growth) => {
    let sum = 0;
    for (let i = 0; i < residuals.length; i++)
      sum += (residuals[i]! ** 2 + evenVariance) * Math.exp(-2 * growth * (place[i]! - mean));
    return (residuals.length / 2) * Math.log(Math.max(sum, Number.MIN_VALUE));
  });
}

/** Degrees of freedom of the heavy tails, low enough that one reading far out says little. */
const TAILS = 4;

/** As `scatterGrowth`, for residuals among which slips may be.
 * @source Likelihood of Student's t scatter: Lange, Little and Taylor, J. Am. Stat. Assoc. 84 (1989) 881 (from memory) */
export function scatterGrowthAmongSlips(place: ArrayLike<number>, residuals: ArrayLike<number>): number {
  const mean = Array.from(place).reduce((sum, p) => sum + p, 0) / residuals.length;
  return likeliest((growth) => {
    const even = Float64Array.from(residuals, (r, i) => (r * Math.exp(-growth * (place[i]! - mean))) ** 2);
    let scale = Math.max(even.reduce((sum, u) => sum + u, 0) / even.length, Number.MIN_VALUE);
    for (let round = 0; round < 15; round++)
      scale = (even.reduce((sum, u) => sum + u / (TAILS + u / scale), 0) * (TAILS + 1)) / even.length;
    const tails = even.reduce((sum, u) => sum + Math.log1p(u / (TAILS * scale)), 0);
    return (even.length / 2) * Math.log(Math.max(scale, Number.MIN_VALUE)) + ((TAILS + 1) / 2) * tails;
  });
}

/** The growth of least cost, what is usual weighed in. */
function likeliest(cost: (growth: number) => number): number {
  const whole = (growth: number): number => {
    const off = (growth - USUAL_GROWTH) / USUAL_REACH;
    return cost(growth) + ((USUAL_TAILS + 1) / 2) * Math.log1p((off * off) / USUAL_TAILS);
  };
  let best = USUAL_GROWTH;
  let least = whole(best);
  for (let growth = -STEEPEST; growth <= STEEPEST; growth += STEP) {
    const here = whole(growth);
    if (here < least) [best, least] = [growth, here];
  }
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
