/** The mechanism as readings can tell it: start, rates, slack and growth lumped together, in thousands of rpm and
 * crank degrees beyond the initial. Speed for each advance and advance for each speed; the stop stands elsewhere. */

/** (rest + rate·u + secondRate·(u − slack)) / (1 + growth·u) is the speed to `power` at which the advance is u. Power 2
 * is the balance of moments, with weights whose moment grows evenly; power 1 with no growth is a line broken in the
 * speed itself. */
export interface Lumped {
  readonly power: 1 | 2;
  /** krpm to the power */
  readonly rest: number;
  /** the same for each crank degree */
  readonly rate: number;
  /** 0 where no second spring takes hold */
  readonly secondRate: number;
  readonly slackDeg: number;
  /** for each crank degree */
  readonly growth: number;
}

/** Forces of springs as shares of what they were: the first one's at rest, its rate, the second one's. */
export interface SpringShares {
  readonly rest: number;
  readonly rate: number;
  readonly second: number;
}

export const UNCHANGED: SpringShares = { rest: 1, rate: 1, second: 1 };

/** Square of the speed, krpm², at which the advance is u.
 * @param u crank degrees, 0 or more
 * @source equilibrium of moments w² C = S, each spring's part of S times its share */
export function squareAt(lumped: Lumped, u: number, shares: SpringShares): number {
  const { power, rest, rate, secondRate, slackDeg, growth } = lumped;
  const two = u > slackDeg ? secondRate * (u - slackDeg) : 0;
  if (power === 2)
    return (shares.rest * rest + shares.rate * rate * u + shares.second * two) / (1 + growth * u);
  // the broken line knows no forces: what its second slope adds to the square is taken for the second spring's
  const one = Math.sqrt(shares.rest) * rest + Math.sqrt(shares.rate) * rate * u;
  return one * one + shares.second * two * (2 * (rest + rate * u) + two);
}

/** Advance at a speed with the springs as they are, crank degrees beyond the initial.
 * @param rpm over 0
 * @param rangeDeg what the stop leaves
 * @returns 0 below the start, the range from all-in on */
export function advanceOnRamp(lumped: Lumped, rpm: number, rangeDeg: number): number {
  const { power, rest, rate, secondRate, slackDeg, growth } = lumped;
  const krpm = rpm / 1000;
  const speed = power === 2 ? krpm * krpm : krpm;
  if (speed <= rest) return 0;
  const slope = rate - growth * speed;
  let u = slope > 0 ? (speed - rest) / slope : Infinity;
  if (u > slackDeg && secondRate > 0) {
    const both = slope + secondRate;
    u = both > 0 ? (speed - rest + secondRate * slackDeg) / both : Infinity;
  }
  return u < rangeDeg ? u : rangeDeg;
}

const HALVINGS = 24;

/** Advance at a speed with other springs; the same as `advanceOnRamp` with all shares 1. */
export function advanceWith(lumped: Lumped, shares: SpringShares, rpm: number, rangeDeg: number): number {
  const square = (rpm / 1000) ** 2;
  if (square <= squareAt(lumped, 0, shares)) return 0;
  if (square >= squareAt(lumped, rangeDeg, shares)) return rangeDeg;
  let [low, high] = [0, rangeDeg];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (squareAt(lumped, middle, shares) < square) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Speed at which the advance is u, rpm. */
export const speedWith = (lumped: Lumped, shares: SpringShares, u: number): number =>
  1000 * Math.sqrt(Math.max(0, squareAt(lumped, u, shares)));
