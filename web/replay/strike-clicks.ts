/** Strikes as clicks to be heard: their times in, sound samples out. */

const CLICK_S = 0.004;
const CLICK_HZ = 2400;
const FADE_S = 0.0008;
const LOUDNESS = 0.5;

/** A click of a few milliseconds at each strike.
 * @param strikesS times of the strikes, seconds, rising
 * @param fromS, toS the stretch that is heard; strikes outside it are not
 * @returns samples from `fromS` on, full scale 1 */
export function strikeClicks(
  strikesS: ArrayLike<number>,
  [fromS, toS]: readonly [number, number],
  sampleRateHz: number,
): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(Math.max(1, Math.ceil((toS - fromS) * sampleRateHz)));
  const length = Math.ceil(CLICK_S * sampleRateHz);
  for (let i = 0; i < strikesS.length; i++) {
    const first = Math.round((strikesS[i]! - fromS) * sampleRateHz);
    if (first < 0) continue;
    for (let n = 0; n < length && first + n < samples.length; n++) {
      const timeS = n / sampleRateHz;
      samples[first + n] = LOUDNESS * Math.exp(-timeS / FADE_S) * Math.sin(2 * Math.PI * CLICK_HZ * timeS);
    }
  }
  return samples;
}
