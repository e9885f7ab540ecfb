/** The centrifugal mechanism: weights, springs and a stop in, engine speed for each advance and advance at each speed
 * out. Advance is in crank degrees beyond the initial setting; nothing here knows readings or sound. */
import type { Strokes } from './engine';

/** Moment of the weights about their pins for each (rad/s)² of the distributor shaft, kg m². */
export type Weights = SwingingWeights | LinearWeights;

/** Weights on pins: all of one size, swinging together. */
export interface SwingingWeights {
  readonly kind: 'swinging';
  readonly count: number;
  readonly massKg: number;
  /** Shaft centre to pin. */
  readonly pinRadiusMm: number;
  /** Pin to the weight's centre of mass. */
  readonly armMm: number;
  /** Between the arm and the line from pin to shaft, at rest. */
  readonly restAngleDeg: number;
  /** Degrees that the weight swings for each distributor degree of advance. */
  readonly swingPerDeg: number;
}

/** A moment that grows evenly with the advance. */
export interface LinearWeights {
  readonly kind: 'linear';
  readonly atRestKgM2: number;
  /** for each distributor degree */
  readonly perDegKgM2: number;
}

/** What holds the weights, as moments about the same pins, all springs together, for each distributor degree. */
export interface Springs {
  readonly preloadNm: number;
  readonly rateNmPerDeg: number;
  /** The spring with slack takes hold after so many distributor degrees; null where there is none. */
  readonly second: { readonly rateNmPerDeg: number; readonly slackDeg: number } | null;
}

export interface Mechanism {
  /** A four-stroke's distributor turns at half crank speed, a two-stroke's with the crank. */
  readonly strokes: Strokes;
  readonly weights: Weights;
  readonly springs: Springs;
  /** Crank degrees between rest and stop. */
  readonly stopRangeDeg: number;
}

/** Distributor turns for each crank turn. */
const shaftRatio = (strokes: Strokes): number => 2 / strokes;

/** Moment of the weights for each (rad/s)², kg m².
 * @source the cross product of arm and centrifugal force: m w² R L sin(gamma), the part along the arm drops out */
export function weightMoment(weights: Weights, distributorDeg: number): number {
  if (weights.kind === 'linear') return weights.atRestKgM2 + weights.perDegKgM2 * distributorDeg;
  const { count, massKg, pinRadiusMm, armMm, restAngleDeg, swingPerDeg } = weights;
  const angle = ((restAngleDeg + swingPerDeg * distributorDeg) * Math.PI) / 180;
  return count * massKg * pinRadiusMm * 1e-3 * armMm * 1e-3 * Math.sin(angle);
}

/** Moment of the springs, N m. */
export function springMoment(springs: Springs, distributorDeg: number): number {
  const { preloadNm, rateNmPerDeg, second } = springs;
  const taken = second ? second.rateNmPerDeg * Math.max(0, distributorDeg - second.slackDeg) : 0;
  return preloadNm + rateNmPerDeg * distributorDeg + taken;
}

/** Engine speed at which weights and springs are in balance.
 * @param advanceDeg crank degrees beyond the initial setting, 0 to the stop
 * @returns revolutions a minute; at 0 the speed at which the advance starts, at the stop the all-in speed
 * @throws RangeError if the advance lies outside 0 and the stop, or if the weights pull inwards there
 * @source equilibrium of moments w² C = S */
export function speedAtAdvance(mechanism: Mechanism, advanceDeg: number): number {
  if (!(advanceDeg >= 0 && advanceDeg <= mechanism.stopRangeDeg))
    throw new RangeError(
      `advance must lie between 0 and the stop at ${mechanism.stopRangeDeg} degrees, got ${advanceDeg}`,
    );
  const ratio = shaftRatio(mechanism.strokes);
  const weights = weightMoment(mechanism.weights, advanceDeg * ratio);
  if (!(weights > 0))
    throw new RangeError(`the weights must pull outwards, got a moment of ${weights} kg m²`);
  const shaftRadS = Math.sqrt(springMoment(mechanism.springs, advanceDeg * ratio) / weights);
  return (shaftRadS * 60) / (2 * Math.PI * ratio);
}

/** Advance beyond the initial setting at an engine speed: 0 below the start, the whole range from all-in on.
 * @param rpm 0 or more
 * @returns crank degrees
 * @throws RangeError if the speed is below 0 or no number, or if the weights would snap out at one speed */
export function advanceAtSpeed(mechanism: Mechanism, rpm: number): number {
  if (!(rpm >= 0)) throw new RangeError(`rpm must be 0 or more, got ${rpm}`);
  checkSteady(mechanism);
  if (rpm <= speedAtAdvance(mechanism, 0)) return 0;
  if (rpm >= speedAtAdvance(mechanism, mechanism.stopRangeDeg)) return mechanism.stopRangeDeg;
  let [low, high] = [0, mechanism.stopRangeDeg];
  while (high - low > 1e-12 * mechanism.stopRangeDeg) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (speedAtAdvance(mechanism, middle) < rpm) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const steady = new WeakSet<Mechanism>();
/** Refuses a mechanism in which more advance needs less speed anywhere: it has no curve, it snaps.
 * @throws RangeError then, or if the stop leaves no range */
export function checkSteady(mechanism: Mechanism): void {
  if (steady.has(mechanism)) return;
  const { stopRangeDeg } = mechanism;
  if (!(stopRangeDeg > 0))
    throw new RangeError(`the stop must leave a range above 0 degrees, got ${stopRangeDeg}`);
  let last = -1;
  for (let i = 0; i <= 100; i++) {
    const advanceDeg = stopRangeDeg * (i / 100); // never past the stop by a rounding
    const rpm = speedAtAdvance(mechanism, advanceDeg);
    if (!(rpm > last))
      throw new RangeError(`speed must rise with advance, but falls to ${rpm} rpm at ${advanceDeg} degrees`);
    last = rpm;
  }
  steady.add(mechanism);
}

/** All forces of the first spring (preload and rate) times one factor, of the second times another.
 * @throws RangeError if a factor is not above 0 */
export function withSpringFactors(mechanism: Mechanism, first: number, second = first): Mechanism {
  for (const factor of [first, second])
    if (!(factor > 0)) throw new RangeError(`a spring factor must be above 0, got ${factor}`);
  const { springs } = mechanism;
  return {
    ...mechanism,
    springs: {
      preloadNm: springs.preloadNm * first,
      rateNmPerDeg: springs.rateNmPerDeg * first,
      second: springs.second && { ...springs.second, rateNmPerDeg: springs.second.rateNmPerDeg * second },
    },
  };
}

/** Rate of a helical spring, N/m, from its wire's shear modulus (Pa), wire and mean coil diameter (m), active coils.
 * @source k = G d⁴ / (8 D³ n), Shigley, Mechanical Engineering Design, ch. 10 (from memory)
 * @throws RangeError if a number is not above 0 */
export function coilSpringRate(shearPa: number, wireM: number, coilM: number, activeCoils: number): number {
  for (const value of [shearPa, wireM, coilM, activeCoils])
    if (!(value > 0)) throw new RangeError(`a spring's figures must be above 0, got ${value}`);
  return (shearPa * wireM ** 4) / (8 * coilM ** 3 * activeCoils);
}
