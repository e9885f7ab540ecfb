/** What a spring's rate is by what is known of it off the engine: a mass hung on it, or wire, coil, turns and material
 * in; rate with its uncertainty out. */
import type { Spring, SpringCoil, SpringMaterial } from '../job';
import { coilSpringRate } from '../mechanism';

export interface SpringRate {
  readonly rateNPerMm: number;
  /** Standard deviation as a share of the rate. */
  readonly share: number;
  readonly by: 'hung mass' | 'coil';
}

/** @source CGPM 1901, the standard value */
const GRAVITY_M_PER_S2 = 9.80665;

/** Shear modulus in gigapascals; music wire's falls a little with its thickness.
 * @source Shigley, Mechanical Engineering Design, table 10-5: music wire 11.6 to 12.0 Mpsi by diameter, oil-tempered
 * 11.2, stainless (302) 10.0, phosphor bronze 6.0 (from memory); 1 Mpsi = 6.894757 GPa */
const SHEAR_GPA: Readonly<Record<SpringMaterial, number>> = {
  'music wire': 81.7,
  'oil-tempered wire': 77.2,
  'stainless steel': 69,
  'phosphor bronze': 41.4,
};
/** Upper limits of the wire's diameter, mm (0.032, 0.063, 0.125 in), and the modulus up to there. */
const MUSIC_WIRE_GPA = [
  [0.813, 82.7],
  [1.6, 81.7],
  [3.175, 81],
  [Infinity, 80],
] as const;

/** Shear modulus of a spring's wire, GPa. */
export function shearModulusGPa(material: SpringMaterial, wireMm: number): number {
  if (material !== 'music wire') return SHEAR_GPA[material];
  return MUSIC_WIRE_GPA.find(([limitMm]) => wireMm <= limitMm)![1];
}

/** What a ruler and a calliper are good to, standard deviations. Common practice. */
const STRETCH_SD_MM = 0.3;
const MASS_SHARE = 0.01;
const WIRE_SD_MM = 0.01;
const COIL_SD_MM = 0.1;
const TURNS_SD = 0.25;
const MODULUS_SHARE = 0.02;

/** @source Hooke: rate = mass × g / stretch */
export function hungRate({ massG, stretchMm }: { massG: number; stretchMm: number }): SpringRate {
  if (!(massG > 0 && stretchMm > 0))
    throw new RangeError(`wanted a mass and a stretch over 0, got ${massG} g and ${stretchMm} mm`);
  return {
    rateNPerMm: (massG * 1e-3 * GRAVITY_M_PER_S2) / stretchMm,
    share: Math.hypot(STRETCH_SD_MM / stretchMm, MASS_SHARE),
    by: 'hung mass',
  };
}

/** @throws RangeError if a figure is not above 0 */
export function coilRate({ wireMm, coilMm, activeCoils, material }: SpringCoil): SpringRate {
  const shearPa = shearModulusGPa(material, wireMm) * 1e9;
  return {
    rateNPerMm: coilSpringRate(shearPa, wireMm / 1000, coilMm / 1000, activeCoils) / 1000,
    share: Math.hypot(
      (4 * WIRE_SD_MM) / wireMm,
      (3 * COIL_SD_MM) / coilMm,
      TURNS_SD / activeCoils,
      MODULUS_SHARE,
    ),
    by: 'coil',
  };
}

/** What stands in the job about a spring: the hung mass before the coil, which is calculated.
 * @returns null where nothing does */
export function springRate({ hung, coil }: Pick<Spring, 'hung' | 'coil'>): SpringRate | null {
  if (hung) return hungRate(hung);
  return coil ? coilRate(coil) : null;
}
