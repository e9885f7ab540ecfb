/** The shapes that a ramp may have between the level stretches, and the scale of speed on which each is straight. */

type Power = 1 | 2 | 3;

export interface RampShape {
  readonly name: 'straight' | 'curved' | 'two slopes';
  /** Corners, the start and the all-in counted. */
  readonly corners: number;
  /** The ramp is straight in speed to this power. */
  readonly power: Power;
  /** What the shape must gain, as a fall of n·ln(sum of squares), before it stands level with a straight ramp. */
  readonly price: number;
}

/** As curves are drawn in books, and one spring over a short range. */
export const STRAIGHT: RampShape = { name: 'straight', corners: 2, power: 1, price: 0 };
/** Weights that swing out against a spring balance at a square of the speed, so the ramp is straight in that. It has
 * as many figures as the straight one and is what a mechanism gives: it is believed first.
 * @source Equilibrium of a weight on a pin against a spring: ω²·C = P + K·α, with C constant. */
export const CURVED: RampShape = { name: 'curved', corners: 2, power: 2, price: -1 };
/** The same with C growing as the weights swing out: the ramp begins more softly still. */
export const STEEPENING: RampShape = { name: 'curved', corners: 2, power: 3, price: 1 };
/** A second spring with slack takes hold part of the way up. Two more figures, one of them a corner: dearer than the
 * 2 · ln n of the Bayesian criterion because a corner may be looked for anywhere. Each stretch is straight in the
 * square of the speed, as with one spring. */
export const TWO_SLOPES: RampShape = { name: 'two slopes', corners: 3, power: 2, price: 9 };
/** The same of two straight stretches, as curves are drawn in books. */
export const TWO_STRAIGHT: RampShape = { name: 'two slopes', corners: 3, power: 1, price: 13 };

/** Of all shapes; prices are measured on made sets. */
export const SHAPES: readonly RampShape[] = [STRAIGHT, CURVED, STEEPENING, TWO_SLOPES, TWO_STRAIGHT];

/** A ramp so much flatter in its upper stretch is none: where the upper slope is a smaller share of the lower one than
 * this, what is called its corner is the all-in. */
const LEAST_SLOPE_SHARE = 0.1;

/** Whether a curve of two slopes rises, or falls, in both: an advance that turns back part of the way up is no spring's.
 * @param corners, levels of three corners */
export function goesOneWay({
  corners,
  levels,
}: {
  readonly corners: Float64Array;
  readonly levels: Float64Array;
}): boolean {
  const lower = (levels[1]! - levels[0]!) / (corners[1]! - corners[0]!);
  const upper = (levels[2]! - levels[1]!) / (corners[2]! - corners[1]!);
  return lower * upper > 0 && Math.abs(upper) >= LEAST_SLOPE_SHARE * Math.abs(lower);
}

/** A speed on the shape's own scale, 0 at the lowest reading and 1 at the highest. Plain data: a fit goes from thread to
 * thread. */
export interface SpeedScale {
  readonly power: Power;
  /** The lowest speed to that power, and how far it is from there to the highest. */
  readonly low: number;
  readonly length: number;
}

/** @param lowRpm, highRpm the lowest and the highest reading's speed, the second above the first */
export function speedScale({ power }: RampShape, lowRpm: number, highRpm: number): SpeedScale {
  const low = lowRpm ** power;
  return { power, low, length: highRpm ** power - low };
}

/** A speed in rpm to its place on the scale. */
export const onScale = ({ power, low, length }: SpeedScale, rpm: number): number =>
  (rpm ** power - low) / length;

/** A place on the scale to its speed in rpm. */
export const offScale = ({ power, low, length }: SpeedScale, scaled: number): number =>
  (low + scaled * length) ** (1 / power);

/** How much each corner's level counts at one x: written to `weights`, which sum to 1. */
export function shapeAt(corners: ArrayLike<number>, x: number, weights: Float64Array): void {
  const last = corners.length - 1;
  weights.fill(0);
  if (x <= corners[0]!) weights[0] = 1;
  else if (x >= corners[last]!) weights[last] = 1;
  else {
    let k = 0;
    while (x > corners[k + 1]!) k++;
    const share = (x - corners[k]!) / (corners[k + 1]! - corners[k]!);
    weights[k] = 1 - share;
    weights[k + 1] = share;
  }
}
