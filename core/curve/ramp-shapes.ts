/** The shapes that a ramp may have between the level stretches, and the scale of speed on which each is straight. */

export interface RampShape {
  readonly name: 'straight' | 'curved' | 'two slopes';
  /** Corners, the start and the all-in counted. */
  readonly corners: number;
  /** The ramp is straight in speed to this power. */
  readonly power: 1 | 2;
  /** What the shape must gain, as a fall of n·ln(sum of squares), before it stands level with a straight ramp. */
  readonly price: number;
}

/** One spring over a short range: straight enough. */
export const STRAIGHT: RampShape = { name: 'straight', corners: 2, power: 1, price: 0 };
/** Weights that swing out against a spring balance at a square of the speed, so the ramp is straight in that. It has
 * as many figures as the straight one; the straight one is believed first.
 * @source Equilibrium of a weight on a pin against a spring: ω²·C = P + K·α, with C constant. */
export const CURVED: RampShape = { name: 'curved', corners: 2, power: 2, price: 1.5 };
/** A second spring with slack takes hold part of the way up. Two more figures, one of them a corner: dearer than the
 * 2 · ln n of the Bayesian criterion because a corner may be looked for anywhere. */
export const TWO_SLOPES: RampShape = { name: 'two slopes', corners: 3, power: 1, price: 10 };

/** A speed on the shape's own scale, 0 at the lowest reading and 1 at the highest; and back. */
export interface SpeedScale {
  readonly to: (rpm: number) => number;
  readonly from: (scaled: number) => number;
}

/** @param lowRpm, highRpm the lowest and the highest reading's speed, the second above the first */
export function speedScale(shape: RampShape, lowRpm: number, highRpm: number): SpeedScale {
  const low = lowRpm ** shape.power;
  const length = highRpm ** shape.power - low;
  return {
    to: (rpm) => (rpm ** shape.power - low) / length,
    from: (scaled) => (low + scaled * length) ** (1 / shape.power),
  };
}
