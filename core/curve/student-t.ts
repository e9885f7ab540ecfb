/** Student's t and Fisher's F: a share of chance in, a quantile out, and back. Knows no readings. */
import { gammaln } from 'simple-statistics';

/** Continued fraction of the incomplete beta function, by Lentz's method.
 * @source NIST Digital Library of Mathematical Functions, 8.17.22 (from memory) */
function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || tiny);
  let fraction = d;
  for (let m = 1; m <= 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d || tiny);
    c = 1 + even / c || tiny;
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d || tiny);
    c = 1 + odd / c || tiny;
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return fraction;
}

/** The regularised incomplete beta function, 0 at x = 0 to 1 at x = 1.
 * @param x 0 to 1; @param a over 0; @param b over 0
 * @throws RangeError outside those
 * @source NIST Digital Library of Mathematical Functions, 8.17 (from memory) */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (!(x >= 0 && x <= 1 && a > 0 && b > 0))
    throw new RangeError(`wanted x from 0 to 1 and a, b over 0, got x ${x}, a ${a}, b ${b}`);
  if (x === 0 || x === 1) return x;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b);
  return (Math.exp(front) * betaFraction(x, a, b)) / a;
}

const logGamma = (z: number): number => gammaln(z);

/** Chance that |T| exceeds t.
 * @param t any number; @param freedom degrees of freedom, over 0 */
export const tTails = (t: number, freedom: number): number =>
  incompleteBeta(freedom / (freedom + t * t), freedom / 2, 0.5);

/** Chance that F exceeds f.
 * @param f 0 or more; @param top, bottom degrees of freedom, over 0 */
export const fTail = (f: number, top: number, bottom: number): number =>
  incompleteBeta(bottom / (bottom + top * Math.max(f, 0)), bottom / 2, top / 2);

/** The t that |T| exceeds with this chance: 0.05 for a 95 % interval.
 * @param tails chance in both tails, between 0 and 1; @param freedom degrees of freedom, over 0
 * @throws RangeError outside those */
export function tQuantile(tails: number, freedom: number): number {
  if (!(tails > 0 && tails < 1 && freedom > 0))
    throw new RangeError(`wanted tails between 0 and 1 and freedom over 0, got ${tails} and ${freedom}`);
  let high = 1;
  while (tTails(high, freedom) > tails) high *= 2;
  let low = high === 1 ? 0 : high / 2;
  for (let i = 0; i < 60 && high - low > 1e-13 * high; i++) {
    const middle = (low + high) / 2;
    if (tTails(middle, freedom) > tails) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Standard normal, 97.5 %. */
export const NORMAL_95 = 1.959964;
