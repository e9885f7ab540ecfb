/** Learnt shapes against each other and by themselves: points in; how far one lies behind the other, or where one begins,
 * out. */
import { FINE } from './shape-tables';

/** Shapes less alike than this are of different strikes. */
const ALIKE = 0.8;

/** How many points a shape lies behind another, or null if they are unlike: by least squares on the first shape and its
 * slope, from the whole shift at which they agree best. */
export function shiftBetween(first: Float64Array, second: Float64Array): number | null {
  let [best, bestAt] = [-Infinity, 0];
  for (let shift = -2 * FINE; shift <= 2 * FINE; shift++) {
    let sum = 0;
    for (let j = 2 * FINE; j < first.length - 2 * FINE; j++) sum += first[j]! * second[j + shift]!;
    if (sum > best) [best, bestAt] = [sum, shift];
  }
  let [a, b, c, withShape, withSlope, energy] = [0, 0, 0, 0, 0, 0];
  for (let j = 2 * FINE; j < first.length - 2 * FINE; j++) {
    const [shape, slope] = [first[j]!, (first[j + 1]! - first[j - 1]!) / 2];
    const value = second[j + bestAt]!;
    a += shape * shape;
    b += slope * slope;
    c += shape * slope;
    withShape += value * shape;
    withSlope += value * slope;
    energy += value * value;
  }
  if (!(withShape > ALIKE * Math.sqrt(a * energy))) return null;
  const height = (b * withShape - c * withSlope) / (a * b - c * c);
  return bestAt - (a * withSlope - c * withShape) / (a * b - c * c) / height;
}

/** The leading edge: so many samples up to where it first stands at half its largest excursion. What comes after differs
 * from lead to lead. */
const EDGE_SAMPLES = 2;
const EDGE_ROUNDS = 4;

/** How much later one shape's leading edge comes than another's: least squares on the edge alone, heights left open.
 * @param first @param second points, `FINE` a sample @param about so much, samples: within one of that it is looked for
 * @returns samples; null where the two edges cannot be laid together there */
export function edgeAfter(first: Float64Array, second: Float64Array, about = 0): number | null {
  const until = halfAt(first);
  const from = until - EDGE_SAMPLES * FINE;
  let shift = about * FINE;
  for (let round = 0; round < EDGE_ROUNDS; round++) {
    const whole = Math.round(shift);
    if (from + Math.min(0, whole) < 1 || until + whole >= second.length) return null;
    let [a, b, c, withShape, withSlope] = [0, 0, 0, 0, 0];
    for (let j = from; j <= until; j++) {
      const [shape, slope] = [first[j]!, (first[j + 1]! - first[j - 1]!) / 2];
      const value = second[j + whole]!;
      a += shape * shape;
      b += slope * slope;
      c += shape * slope;
      withShape += value * shape;
      withSlope += value * slope;
    }
    const height = (b * withShape - c * withSlope) / (a * b - c * c);
    shift = whole - (a * withSlope - c * withShape) / (a * b - c * c) / height;
    if (!(Math.abs(shift - about * FINE) < FINE)) return null;
  }
  return shift / FINE;
}

/** The first point at half a shape's largest excursion. */
function halfAt(shape: Float64Array): number {
  let most = 0;
  for (const value of shape) most = Math.max(most, Math.abs(value));
  return shape.findIndex((value) => Math.abs(value) >= most / 2);
}

/** Where a shape first stands at half its largest excursion, samples from the place compared by; 0 where its beginning is
 * not in it. @param before samples of its stretch before that place */
export function onsetOf(shape: Float64Array, before: number): number {
  let most = 0;
  for (const value of shape) most = Math.max(most, Math.abs(value));
  const first = shape.findIndex((value) => Math.abs(value) >= most / 2);
  if (first < 1) return 0;
  const [below, above] = [Math.abs(shape[first - 1]!), Math.abs(shape[first]!)];
  return (first - 1 + (most / 2 - below) / (above - below)) / FINE - before - 2;
}
