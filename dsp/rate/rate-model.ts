/** One model of a beat: a Kalman filter for where in the beat one is (in strikes), the rate (hertz) and its change (hertz
 * a second). Predicts and takes strikes in numbers that stand one after the other; times in seconds; allocates nothing. */
import { KINDS } from './rate-kinds';

export const N = KINDS.length;
/** Numbers of a model: place, rate, change; the upper triangle of their covariance, row by row; how much faster than the
 * rate the engine goes as a cycle begins and as it ends, what they have in common with each other and the rest. */
export const SIZE = 20;
export const [PLACE, RATE, CHANGE, PP, PR, PC, RR, RC, CC, A, B, AA, AB, BB, RA, RB, PA, PB, CA, CB] = [
  0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19,
] as const;

/** By kind: variance of the scatter, walks, unevenness. */
export const SCATTER_VAR = Float64Array.from(KINDS, ({ scatter }) => scatter * scatter);
const WALK = Float64Array.from(KINDS, ({ walk }) => walk);
export const DRIFT = Float64Array.from(KINDS, ({ change }) => change);
export const UNEVEN = Float64Array.from(KINDS, ({ uneven }) => uneven);
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
  if (uneven > 0) goUneven(x, at, rate, dt, (uneven * rate) ** 2);
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

/** The speed goes straight from that as a cycle begins to that as it ends, and each of those is as none before. Strikes come
 * halfway: an interval takes so much of the cycle it begins in, of the next and of the one after, by the areas under the
 * straight lines. */
const MIDDLE = 0.75;
const END = 0.125;
/** Strikes may come elsewhere in the cycle: variance of the speed at them that halfway between does not tell, by that of a
 * cycle's; on average over all places, the scale being the one by which the intervals are likeliest. Worked out from the
 * areas: 0.140 where the intervals on either side are known, 0.142 where the last two are. */
export const ELSEWHERE = 0.14;
/** On to the next strike; of several intervals those between take one each. @param variance of a cycle's speed, hertz
 * squared */
function goUneven(x: Float64Array, at: number, rate: number, dt: number, variance: number): void {
  const more = Math.max(1, Math.round(rate * dt)) - 1;
  const byA = END / rate;
  const byB = (more > 0 ? MIDDLE + END : MIDDLE) / rate;
  const half = (dt * dt) / 2;
  const [ca, cb] = [x[at + CA]!, x[at + CB]!];
  const pa = x[at + PA]! + dt * x[at + RA]! + half * ca;
  const pb = x[at + PB]! + dt * x[at + RB]! + half * cb;
  const ra = x[at + RA]! + dt * ca;
  const rb = x[at + RB]! + dt * cb;
  const paNow = pa + byA * x[at + AA]! + byB * x[at + AB]!;
  const pbNow = pb + byA * x[at + AB]! + byB * x[at + BB]!;
  const fresh = END * END + (more > 0 ? more - 1 + (MIDDLE + END) ** 2 : 0);
  x[at + PLACE]! += byA * x[at + A]! + byB * x[at + B]!;
  x[at + PP]! += byA * (pa + paNow) + byB * (pb + pbNow) + (fresh * variance) / (rate * rate);
  x[at + PR]! += byA * ra + byB * rb;
  x[at + PC]! += byA * ca + byB * cb;
  x[at + A] = more > 0 ? 0 : x[at + B]!;
  x[at + AA] = more > 0 ? variance : x[at + BB]!;
  x[at + RA] = more > 0 ? 0 : rb;
  x[at + CA] = more > 0 ? 0 : cb;
  x[at + PA] = more > 0 ? ((MIDDLE + END) * variance) / rate : pbNow;
  x[at + B] = x[at + AB] = x[at + RB] = x[at + CB] = 0;
  x[at + BB] = variance;
  x[at + PB] = (END * variance) / rate;
}

/** The speed at the strike, by a model. */
export const speedOf = (x: Float64Array, at: number): number =>
  x[at + RATE]! + 0.5 * (x[at + A]! + x[at + B]!);

/** Its variance. */
export const speedVar = (x: Float64Array, at: number, m: number, slowS: number): number =>
  x[at + RR]! +
  x[at + RA]! +
  x[at + RB]! +
  0.25 * (x[at + AA]! + 2 * x[at + AB]! + x[at + BB]!) +
  (UNEVEN[m] === 0 ? 0 : ELSEWHERE * unevenVar(x, at, m, slowS));

/** Variance of a cycle's own speed by a model, hertz squared. */
export function unevenVar(x: Float64Array, at: number, m: number, slowS: number): number {
  const rate = Math.max(1e-3, x[at + RATE]!);
  const share = FADES[m] ? Math.min(1, 1 / (rate * slowS)) : 1;
  return (share * UNEVEN[m]! * rate) ** 2;
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
    x[at + CA]! -= kc * x[at + PA]!;
    x[at + CB]! -= kc * x[at + PB]!;
  }
  if (UNEVEN[m] === 0) return;
  const [pa, pb] = [x[at + PA]!, x[at + PB]!];
  const ka = pa / variance;
  const kb = pb / variance;
  x[at + A]! += ka * off;
  x[at + B]! += kb * off;
  x[at + AA]! -= ka * pa;
  x[at + AB]! -= ka * pb;
  x[at + BB]! -= kb * pb;
  x[at + RA]! -= kr * pa;
  x[at + RB]! -= kr * pb;
  x[at + PA]! -= kp * pa;
  x[at + PB]! -= kp * pb;
}
