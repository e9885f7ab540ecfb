/** Conditioning: raw samples in; out come the same without offset, hum, its harmonics and steady tones (`clean`), and that again
 * without what lies above any strike (`smooth`, for finding). Knows hertz only. Allocates nothing while it runs. */
import { highPass, lowPass, type Biquad } from './biquad';
import { ToneCanceller } from './tone-canceller';

/** What is looked for: the sharp strike of a clamp, or the slow pulse of a crank sensor. */
export type PulseSpeed = 'sharp' | 'slow';

/** Hum's harmonics end some hundred hertz below, the slowest clamp rings at 2 kHz. */
const STRIKE_LOW_HZ = 1000;
const STRIKE_HIGH_HZ = 9000;
/** A sensor's pulse lasts 50-300 microseconds, a light sensor's edge some milliseconds: its slopes must outlive the
 * high-pass. */
const SENSOR_LOW_HZ = 150;
const SENSOR_HIGH_HZ = 2500;
const FOURTH_ORDER = [0.5412, 1.3066] as const;
const SECOND_ORDER = [Math.SQRT1_2] as const;

export class Conditioner {
  readonly #high: readonly Biquad[];
  readonly #low: readonly Biquad[];
  /** A sensor's slow pulses last longer than the canceller's delay: it would foretell them. */
  readonly #tones: ToneCanceller | null;

  constructor(sampleRateHz: number, pulses: PulseSpeed) {
    const [lowHz, highHz] =
      pulses === 'sharp' ? [STRIKE_LOW_HZ, STRIKE_HIGH_HZ] : [SENSOR_LOW_HZ, SENSOR_HIGH_HZ];
    const high = pulses === 'sharp' ? FOURTH_ORDER : SECOND_ORDER;
    this.#high = high.map((quality) => highPass({ cornerHz: lowHz, sampleRateHz, quality }));
    this.#tones = pulses === 'sharp' ? new ToneCanceller(sampleRateHz) : null;
    const smooths = highHz < 0.4 * sampleRateHz;
    this.#low = smooths
      ? SECOND_ORDER.map((quality) => lowPass({ cornerHz: highHz, sampleRateHz, quality }))
      : [];
  }

  /** @param raw samples @param length how many of them @param clean @param smooth where the results go */
  run(raw: Float32Array, length: number, clean: Float64Array, smooth: Float64Array): void {
    let from: Float32Array | Float64Array = raw;
    for (const section of this.#high) {
      section.run(from, clean, length);
      from = clean;
    }
    this.#tones?.run(clean, length);
    from = clean;
    if (this.#low.length === 0) smooth.set(clean.length === length ? clean : clean.subarray(0, length));
    for (const section of this.#low) {
      section.run(from, smooth, length);
      from = smooth;
    }
  }
}

/** The high-pass for sharp strikes has died away after so long. */
const RESPONSE_S = 2e-3;

/** What the high-pass for sharp strikes makes of one sample of 1, until it has died away. */
export function highPassResponse(sampleRateHz: number): Float64Array {
  const response = new Float64Array(Math.round(RESPONSE_S * sampleRateHz));
  response[0] = 1;
  for (const quality of FOURTH_ORDER)
    highPass({ cornerHz: STRIKE_LOW_HZ, sampleRateHz, quality }).run(response, response, response.length);
  return response;
}
