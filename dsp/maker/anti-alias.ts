/** The linear-phase anti-alias filter of a sound input, and continuous shapes drawn through it into fine tables.
 * Times are in samples, so that one filter serves every rate. Knows no strike and no sensor. */

/** The filter reaches this many samples to either side of its centre. */
export const FILTER_HALF_SAMPLES = 56;
/** Table points for each sample: a cubic through them errs by less than 2e-7 of the peak. */
export const POINTS_PER_SAMPLE = 64;
/** Half of the amplitude is left here, cycles a sample; 80 dB are gone at one half. */
const CUTOFF = 0.477;
/** Kaiser's shape factor for 80 dB: 0.1102 (A - 8.7). @source Kaiser 1974, in Oppenheim & Schafer ch. 7 (memory) */
const KAISER_BETA = 0.1102 * (80 - 8.7);

/** A shape as the input hears it: points at a fixed spacing, one spare zero at either end. */
export interface ShapeTable {
  readonly points: Float64Array;
  /** Samples from the first point to the shape's instant. */
  readonly leadSamples: number;
  /** Samples from the first to the last point. */
  readonly samples: number;
}

/** One decaying oscillation from the instant on: the real part of (re + j im) exp(-(decay - j turn) t). */
export interface Decay {
  readonly re: number;
  readonly im: number;
  /** per sample */
  readonly decay: number;
  /** radians a sample */
  readonly turn: number;
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k++) sum += term *= (x / (2 * k)) ** 2;
  return sum;
}

/** The filter's impulse response at a distance from its centre, in samples: a sinc under a Kaiser window. */
export function filterResponse(samples: number): number {
  const place = samples / FILTER_HALF_SAMPLES;
  if (Math.abs(place) >= 1) return 0;
  const window = besselI0(KAISER_BETA * Math.sqrt(1 - place * place)) / besselI0(KAISER_BETA);
  const angle = 2 * Math.PI * CUTOFF * samples;
  return 2 * CUTOFF * window * (angle === 0 ? 1 : Math.sin(angle) / angle);
}

/** Gauss-Legendre nodes and weights on 0..1, three points. @source Abramowitz & Stegun table 25.4 (memory) */
const NODES = [0.5 - Math.sqrt(0.15), 0.5, 0.5 + Math.sqrt(0.15)] as const;
const WEIGHTS = [5 / 18, 8 / 18, 5 / 18] as const;

let responseAtNodes: Float64Array | undefined;
/** The response at the three nodes of every table step; the same for all shapes, so worked out once. */
function nodeResponses(): Float64Array {
  if (responseAtNodes) return responseAtNodes;
  const steps = 2 * FILTER_HALF_SAMPLES * POINTS_PER_SAMPLE;
  const all = new Float64Array(3 * steps);
  for (let i = 0; i < all.length; i++) {
    const at = (Math.floor(i / 3) + NODES[(i % 3) as 0 | 1 | 2]) / POINTS_PER_SAMPLE;
    all[i] = filterResponse(at - FILTER_HALF_SAMPLES);
  }
  return (responseAtNodes = all);
}

/** Adds one decay, filtered, to the points. The integral over each step joins the decayed sum of those before it, so
 * the result is exact to quadrature (about 1e-8), however sharp the onset. */
function addDecay(points: Float64Array, { re, im, decay, turn }: Decay): void {
  const response = nodeResponses();
  const step = 1 / POINTS_PER_SAMPLE;
  const [rotRe, rotIm] = [
    Math.exp(-decay * step) * Math.cos(turn * step),
    Math.exp(-decay * step) * Math.sin(turn * step),
  ];
  const ages = NODES.map((node) => (1 - node) * step);
  const nodeRe = ages.map((age, k) => WEIGHTS[k]! * step * Math.exp(-decay * age) * Math.cos(turn * age));
  const nodeIm = ages.map((age, k) => WEIGHTS[k]! * step * Math.exp(-decay * age) * Math.sin(turn * age));
  let sumRe = 0;
  let sumIm = 0;
  for (let i = 1; i < points.length - 1; i++) {
    points[i]! += re * sumRe - im * sumIm;
    let nextRe = sumRe * rotRe - sumIm * rotIm;
    let nextIm = sumRe * rotIm + sumIm * rotRe;
    const base = 3 * (i - 1);
    for (let k = 0; k < 3 && base < response.length; k++) {
      nextRe += nodeRe[k]! * response[base + k]!;
      nextIm += nodeIm[k]! * response[base + k]!;
    }
    sumRe = nextRe;
    sumIm = nextIm;
  }
}

/** Draws a sum of decays through the filter.
 * @param tailSamples how long the slowest decay is followed after the instant */
export function tableOfDecays(decays: readonly Decay[], tailSamples: number): ShapeTable {
  const samples = FILTER_HALF_SAMPLES + Math.max(FILTER_HALF_SAMPLES, Math.ceil(tailSamples));
  const points = new Float64Array(samples * POINTS_PER_SAMPLE + 3);
  for (const decay of decays) addDecay(points, decay);
  return { points, leadSamples: FILTER_HALF_SAMPLES, samples };
}

/** Draws a smooth shape through the filter by a plain sum, eight points a sample: exact to rounding for shapes whose
 * spectrum is spent well below four cycles a sample.
 * @param shape height at a time in samples from its instant; nothing outside earliest..latest is looked at */
export function tableOfSmooth(
  shape: (samples: number) => number,
  earliest: number,
  latest: number,
): ShapeTable {
  const stride = POINTS_PER_SAMPLE / 8;
  const half = FILTER_HALF_SAMPLES * POINTS_PER_SAMPLE;
  const [from, to] = [Math.floor(earliest) * POINTS_PER_SAMPLE, Math.ceil(latest) * POINTS_PER_SAMPLE];
  const points = new Float64Array(2 * half + to - from + 3);
  const response = Float64Array.from({ length: 2 * half + 1 }, (_, i) =>
    filterResponse((i - half) / POINTS_PER_SAMPLE),
  );
  for (let at = from; at <= to; at += stride) {
    const weight = (shape(at / POINTS_PER_SAMPLE) * stride) / POINTS_PER_SAMPLE;
    if (Math.abs(weight) < 1e-12) continue;
    for (let k = 0; k <= 2 * half; k++) points[1 + at - from + k]! += weight * response[k]!;
  }
  const leadSamples = FILTER_HALF_SAMPLES - Math.floor(earliest);
  return { points, leadSamples, samples: (points.length - 3) / POINTS_PER_SAMPLE };
}

/** Scales a table so that its largest excursion is 1; the sign stays. */
export function peakOne(table: ShapeTable): ShapeTable {
  const peak = table.points.reduce((most, point) => Math.max(most, Math.abs(point)), 0);
  return { ...table, points: table.points.map((point) => point / peak) };
}

/** A shape set down at an instant of its own, ready to be mixed into any block. */
export interface PlacedShape {
  readonly points: Float64Array;
  /** The samples it touches, counted from the start of the signal. */
  readonly firstSample: number;
  readonly lastSample: number;
  readonly firstPoint: number;
  readonly weights: readonly [number, number, number, number];
}

/** Sets a shape down. The weights are worked out once, so that cutting the signal into blocks changes no bit.
 * @param instant in samples from the start of the signal, any fraction
 * @source Lagrange's cubic through the four nearest points */
export function placeShape(table: ShapeTable, instant: number, scale: number): PlacedShape {
  const start = instant - table.leadSamples;
  const firstSample = Math.ceil(start);
  const place = (firstSample - start) * POINTS_PER_SAMPLE;
  const firstPoint = Math.floor(place);
  const f = place - firstPoint;
  const weights = [
    (-scale * f * (f - 1) * (f - 2)) / 6,
    (scale * (f + 1) * (f - 1) * (f - 2)) / 2,
    (-scale * (f + 1) * f * (f - 2)) / 2,
    (scale * (f + 1) * f * (f - 1)) / 6,
  ] as const;
  const lastPoint = table.points.length - 4;
  const lastSample = firstSample + Math.floor((lastPoint - firstPoint) / POINTS_PER_SAMPLE);
  return { points: table.points, firstSample, lastSample, firstPoint, weights };
}

/** Adds a placed shape to a block. @param blockStart the block's first sample, counted from the start of the signal */
export function mixShape(block: Float64Array, blockStart: number, placed: PlacedShape): void {
  const { points, firstSample, firstPoint } = placed;
  const [w0, w1, w2, w3] = placed.weights;
  const first = Math.max(blockStart, firstSample);
  const last = Math.min(blockStart + block.length - 1, placed.lastSample);
  for (let n = first; n <= last; n++) {
    const i = firstPoint + (n - firstSample) * POINTS_PER_SAMPLE;
    block[n - blockStart]! +=
      w0 * points[i]! + w1 * points[i + 1]! + w2 * points[i + 2]! + w3 * points[i + 3]!;
  }
}
