/** The least scatter that the strikes of a made recording can be timed with: its scenario in, seconds out. */
import type { Scenario } from '../../core/scenario/scenario';
import { timingBound } from '../../dsp/shape/bound';
import { POINTS_PER_SAMPLE } from '../../dsp/maker/anti-alias';
import { pulseTable } from '../../dsp/maker/strike-shape';

/** Mean of 1/size² over sizes that scatter normally about 1, cut at two deviations, as the maker draws them. */
function meanInverseSquare(scatter: number): number {
  let [sum, weight] = [0, 0];
  for (let z = -2; z <= 2; z += 0.01) {
    const density = Math.exp(-0.5 * z * z);
    sum += density / (1 + scatter * z) ** 2;
    weight += density;
  }
  return sum / weight;
}

/** Steps over sizes, and over where samples may fall on the shape. */
const SIZE_STEP = 0.1;
const PLACE_STEP = 4;

/** Cumulative standard normal, folded. @source Abramowitz & Stegun 7.1.26 (memory): 1.5e-7 */
function within(deviations: number): number {
  const x = deviations / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  return 1 - poly * Math.exp(-x * x);
}

/** The scatter, 1.4826 times the median deviation, of strikes that are each timed at the bound of their samples below
 * full scale, height and time unknown: the inverse of Fisher's information for both. @returns samples */
function clippedBound({ sound, sampleRateHz }: Scenario, noiseSd: number): number {
  const { points } = pulseTable(sound.shape, sampleRateHz);
  const bounds: { sd: number; weight: number }[] = [];
  for (let z = -2; z <= 2; z += SIZE_STEP)
    for (let place = 1; place <= POINTS_PER_SAMPLE; place += PLACE_STEP) {
      const size = 1 + sound.amplitudeScatter * z;
      let [height, slope, both] = [0, 0, 0];
      for (let j = place; j < points.length - 1; j += POINTS_PER_SAMPLE) {
        if (Math.abs(points[j]!) * size * sound.peak >= 1) continue;
        const rise = ((points[j + 1]! - points[j - 1]!) * POINTS_PER_SAMPLE) / 2;
        height += points[j]! ** 2;
        slope += rise ** 2;
        both += points[j]! * rise;
      }
      const sd = noiseSd / size / Math.sqrt(slope - both ** 2 / height);
      bounds.push({ sd, weight: Math.exp(-0.5 * z * z) });
    }
  const all = bounds.reduce((sum, { weight }) => sum + weight, 0);
  let [low, high] = [0, 3 * Math.max(...bounds.map(({ sd }) => sd))];
  while (high - low > 1e-6 * high) {
    const middle = (low + high) / 2;
    const share = bounds.reduce((sum, { sd, weight }) => sum + weight * within(middle / sd), 0) / all;
    if (share < 0.5) low = middle;
    else high = middle;
  }
  return 1.4826 * low;
}

/** @returns the root mean square of the strikes' bounds, seconds: white noise and the converter's steps; null for no noise.
 * Clipped: the robust scatter at the bound of the samples that are left */
export function scenarioBoundS(scenario: Scenario): number | null {
  const { sound, sampleRateHz, bits } = scenario;
  if (sound.noiseBelowDb === null) return null;
  const steps = bits === null ? 0 : 2 ** -(bits - 1) / Math.sqrt(12);
  const noiseSd = Math.hypot(10 ** (-sound.noiseBelowDb / 20), steps / sound.peak);
  if (sound.peak > 1) return clippedBound(scenario, noiseSd) / sampleRateHz;
  const { points } = pulseTable(sound.shape, sampleRateHz);
  const samples = timingBound(points, POINTS_PER_SAMPLE, noiseSd);
  return (samples / sampleRateHz) * Math.sqrt(meanInverseSquare(sound.amplitudeScatter));
}
