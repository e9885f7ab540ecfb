/** The least scatter that the strikes of a made recording can be timed with: its scenario in, seconds out. */
import type { Scenario } from '../../core/scenario/scenario';
import { timingBound } from '../../dsp/bound';
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

/** @returns the root mean square of the strikes' bounds, seconds: white noise and the converter's steps; null for no noise */
export function scenarioBoundS({ sound, sampleRateHz, bits }: Scenario): number | null {
  if (sound.noiseBelowDb === null) return null;
  const steps = bits === null ? 0 : 2 ** -(bits - 1) / Math.sqrt(12);
  const noiseSd = Math.hypot(10 ** (-sound.noiseBelowDb / 20), steps / sound.peak);
  const { points } = pulseTable(sound.shape, sampleRateHz);
  const samples = timingBound(points, POINTS_PER_SAMPLE, noiseSd);
  return (samples / sampleRateHz) * Math.sqrt(meanInverseSquare(sound.amplitudeScatter));
}
