/** One model of a beat: a Kalman filter for where in the beat one is (in strikes), the rate (hertz) and its change (hertz
 * a second). Predicts and takes strikes in numbers that stand one after the other; times in seconds; allocates nothing. */
import { KINDS } from './rate-kinds';

export const N = KINDS.length;
/** Numbers of a model: place, rate, change; the upper triangle of their covariance, row by row; how much faster than the
 * rate the cycle goes that ends, its variance, and what it has in common with the rate. */
export const SIZE = 12;
export const [PLACE, RATE, CHANGE, PP, PR, PC, RR, RC, CC, F, FF, RF] = [
  0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11,
] as const;

/** By kind: variance of the scatter, walks, unevenness. */
export const SCATTER_VAR = Float64Array.from(KINDS, ({ scatter }) => scatter * scatter);
const WALK = Float64Array.from(KINDS, ({ walk }) => walk);
export const DRIFT = Float64Array.from(KINDS, ({ change }) => change);
const UNEVEN = Float64Array.from(KINDS, ({ uneven }) => uneven);
const FADES = Uint8Array.from(KINDS, ({ fades }) => (fades ? 1 : 0));

/** On by some time. @param x numbers of all models @param at where this one's begin @param m its kind @param dt seconds
 * @param slowS interval from which an engine is as restless as it can be */
export function predictOne(x: Float64Array, at: number, m: number, dt: number, slowS: number): void {
  const rate = Math.max(1e-3, x[at + RATE]!);
  // restlessness comes evenly over time, for each interval anew: walks by their integrals
  const share = FADES[m] ? Math.min(1, 1 / (rate * slowS)) : 1;
  const dt2 = dt * dt;
  const walk = share * WALK[m]! * rate;
  const walks = walk * walk * rate * dt;
  x[at + PLACE]! += dt * x[at + RATE]!;
  x[at + PP]! += 2 * dt * x[at + PR]! + dt2 * (x[at + RR]! + walks / 3);
  x[at + PR]! += dt * (x[at + RR]! + walks / 2);
  x[at + RR]! += walks;
  const change = share * DRIFT[m]! * rate * rate;
  if (change > 0) drift(x, at, rate, dt, change * change * rate * dt);
  const uneven = share * UNEVEN[m]!;
  if (uneven > 0) goUneven(x, at, rate, dt, uneven * uneven);
}

/** What the rate's change adds. @param walks variance by which it wanders meanwhile */
function drift(x: Float64Array, at: number, rate: number, dt: number, walks: number): void {
  const half = (dt * dt) / 2;
  const pc = x[at + PC]!;
  const rc = x[at + RC]!;
  const cc = x[at + CC]!;
  x[at + PLACE]! += half * x[at + CHANGE]!;
  x[at + RATE] = Math.max(0.3 * rate, x[at + RATE]! + dt * x[at + CHANGE]!); // an engine never turns back
  x[at + PP]! += 2 * half * (pc + dt * rc) + half * half * (cc + walks / 5);
  x[at + PR]! += dt * pc + (half + dt * dt) * rc + half * dt * (cc + walks / 4);
  x[at + PC]! += dt * rc + half * (cc + walks / 3);
  x[at + RR]! += 2 * dt * rc + dt * dt * (cc + walks / 3);
  x[at + RC]! += dt * (cc + walks / 2);
  x[at + CC]! += walks;
}

/** From one cycle's speed straight to the next one's: half an interval each. */
function goUneven(x: Float64Array, at: number, rate: number, dt: number, variance: number): void {
  x[at + PLACE]! += (0.5 * x[at + F]!) / rate;
  x[at + PP]! += (0.25 * x[at + FF]!) / (rate * rate) + variance * (0.25 + Math.max(0, rate * dt - 1));
  x[at + FF] = variance * rate * rate;
}

/** Takes the strike that comes so many intervals after the last. */
export function updateOne(x: Float64Array, at: number, m: number, steps: number, timeVar: number): void {
  const rate = x[at + RATE]!;
  const pp = x[at + PP]!;
  const pr = x[at + PR]!;
  const off = steps - x[at + PLACE]!;
  const variance = pp + rate * rate * timeVar + SCATTER_VAR[m]!;
  const kp = pp / variance;
  const kr = pr / variance;
  x[at + PLACE] = x[at + PLACE]! + kp * off - steps;
  x[at + RATE] = Math.max(0.3 * rate, rate + kr * off);
  x[at + PP]! -= kp * pp;
  x[at + PR]! -= kp * pr;
  x[at + RR]! -= kr * pr;
  if (DRIFT[m]! > 0) {
    const pc = x[at + PC]!;
    const kc = pc / variance;
    x[at + CHANGE]! += kc * off;
    x[at + PC]! -= kp * pc;
    x[at + RC]! -= kr * pc;
    x[at + CC]! -= kc * pc;
  }
  if (UNEVEN[m] === 0) return;
  // half of what the cycle's own speed explains best: cycles need not begin at strikes
  const pf = (0.5 * x[at + FF]!) / rate;
  const kf = (0.5 * pf) / variance;
  x[at + F] = kf * off;
  x[at + FF]! -= 1.5 * kf * pf;
  x[at + RF] = -kr * pf;
}
