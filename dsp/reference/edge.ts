/** Where the leading edge of a sensor's pulse passes half its height: samples about a pulse in, closer than the input's
 * own; a place between them out. Any shape (Hall, optical, variable reluctance), either polarity. Knows no turn and no angle. */

/** A pulse's other lobe is at least this share of the first. */
const LOBE_SHARE = 0.5;
/** And, where hum moves the level, at least this one. */
const LEAST_LOBE_SHARE = 0.2;
/** What counts as the edge, and as the top, shares of the height. */
const EDGE_LOW = 0.2;
const EDGE_HIGH = 0.8;
/** The level from which the pulse rises is looked for over this stretch before its edge, and the top after it. */
const BEFORE_FROM_S = 1.3e-3;
const BEFORE_UNTIL_S = 0.4e-3;
const TOP_S = 0.4e-3;
/** Variance of the height told, in those of one sample: a parabola through ten or so. */
const TOP_VARIANCE = 0.2;

export interface Edge {
  /** Where the leading edge passes half the height, samples from the first, between them. */
  readonly place: number;
  /** Standard deviation of the place by the noise that stands before the pulse, samples. */
  readonly placeSd: number;
  /** Height above the level before it, with its sign. */
  readonly height: number;
}

/** What stands about a pulse, leak taken out. */
export interface Stretch {
  readonly length: number;
  readonly samples: Float64Array;
}

/** @param level the channel's usual level, from which every pulse rises @param sampleRateHz of the stretch
 * @param closer how many samples of the stretch lie on one that was heard
 * @param rises the way in which this sensor's pulses rise; null: not known
 * @returns null where nothing stands out */
export function leadingEdge(
  stretch: Stretch,
  level: number,
  sampleRateHz: number,
  closer = 1,
  rises: 1 | -1 | null = null,
): Edge | null {
  const usual = firstLobe(stretch, level, rises);
  if (!usual) return null;
  // with hum the level at a pulse is not the usual one: seen from there, one lobe of two would seem small
  const near = usual.mayBeTwo ? levelBefore(stretch, usual.from, sampleRateHz) : null;
  const isLevel = near !== null && Math.abs(near - level) < LOBE_SHARE * usual.height;
  const lobe = isLevel ? firstLobe(stretch, near, rises) : usual;
  if (!lobe) return null;
  const { sign, peakAt } = lobe;
  let base = level;
  let height = sign * (stretch.samples[peakAt]! - base);
  let edgeAt = edgeBefore(stretch, peakAt, base, sign, height);
  if (edgeAt === null) return null;
  base = levelBefore(stretch, edgeAt, sampleRateHz) ?? base;
  height = topAfter(stretch, edgeAt, base, sign, sampleRateHz);
  if (!(height > 0)) return null;
  edgeAt = edgeBefore(stretch, Math.min(stretch.length - 1, edgeAt + 1), base, sign, height, true) ?? edgeAt;
  const { place, slope, samples } = crossing(stretch, edgeAt, base, sign, height);
  const noise = noiseBefore(stretch, edgeAt, sampleRateHz, closer);
  // the level that moves on until the edge moves half the height by half of that
  const drift = driftBefore(stretch, edgeAt, sampleRateHz, noise, closer) / 2;
  const placeSd = Math.hypot(noise * placeShare(samples / closer), drift) / slope;
  return { place, placeSd, height: sign * height };
}

interface Lobe {
  readonly sign: 1 | -1;
  readonly peakAt: number;
  /** The earlier of the highest and the lowest sample. */
  readonly from: number;
  /** Of the taller, whichever comes first. */
  readonly height: number;
  /** On another level there may be two lobes, or one. */
  readonly mayBeTwo: boolean;
}

/** The lobe that comes first: of a pulse to one side the only one, of one to both sides the earlier; or that to the side to
 * which pulses rise, where it is none too small. */
function firstLobe({ samples, length }: Stretch, level: number, rises: 1 | -1 | null): Lobe | null {
  let [up, down] = [0, 0];
  for (let i = 1; i < length; i++) {
    if (samples[i]! > samples[up]!) up = i;
    if (samples[i]! < samples[down]!) down = i;
  }
  const [above, below] = [samples[up]! - level, level - samples[down]!];
  if (!(above > 0 || below > 0)) return null;
  const share = Math.min(above, below) / Math.max(above, below);
  const both = share >= LOBE_SHARE;
  const isUp = rises !== null && share >= LEAST_LOBE_SHARE ? rises > 0 : both ? up < down : above > below;
  return {
    sign: isUp ? 1 : -1,
    peakAt: isUp ? up : down,
    from: Math.min(up, down),
    height: Math.max(above, below),
    mayBeTwo: share >= LEAST_LOBE_SHARE,
  };
}

/** The last sample below half the height, before a place on the pulse.
 * @param forth look on first to where the pulse stands above half */
function edgeBefore(
  { samples, length }: Stretch,
  at: number,
  base: number,
  sign: number,
  height: number,
  forth = false,
): number | null {
  const half = height / 2;
  let i = at;
  if (forth) while (i < length - 1 && sign * (samples[i]! - base) < half) i++;
  while (i >= 0 && sign * (samples[i]! - base) >= half) i--;
  return i < 0 || i >= length - 1 ? null : i;
}

const sorted: number[] = [];

/** The middle level before an edge; null where the stretch does not reach so far back. */
function levelBefore({ samples }: Stretch, edgeAt: number, sampleRateHz: number): number | null {
  const from = Math.max(0, Math.round(edgeAt - BEFORE_FROM_S * sampleRateHz));
  const until = Math.round(edgeAt - BEFORE_UNTIL_S * sampleRateHz);
  if (until - from < 8) return null;
  sorted.length = 0;
  for (let i = from; i < until; i++) sorted.push(samples[i]!);
  sorted.sort((a, b) => a - b);
  // the mean of the middle half: a strike that leaks in stands outside it, noise averages out
  const quarter = sorted.length >> 2;
  let sum = 0;
  for (let i = quarter; i < sorted.length - quarter; i++) sum += sorted[i]!;
  return sum / (sorted.length - 2 * quarter);
}

/** A normal variable's quartile, in standard deviations. */
const QUARTILE = 0.6745;

/** Standard deviation of the noise before an edge, by how far one sample that was heard stands from the next: what
 * changes slowly, hum or another pulse's tail, adds nothing. 0 where the stretch does not reach so far back. */
function noiseBefore({ samples }: Stretch, edgeAt: number, sampleRateHz: number, closer: number): number {
  const from = Math.max(0, Math.round(edgeAt - BEFORE_FROM_S * sampleRateHz));
  const until = Math.round(edgeAt - BEFORE_UNTIL_S * sampleRateHz);
  sorted.length = 0;
  for (let i = from; i + closer < until; i++) sorted.push(Math.abs(samples[i + closer]! - samples[i]!));
  if (sorted.length === 0) return 0;
  sorted.sort((a, b) => a - b);
  return sorted[sorted.length >> 1]! / QUARTILE / Math.SQRT2;
}

/** By how much the level moves from where it was taken to the edge, as hum makes it, noise taken out; 0 where the stretch
 * does not reach so far back. */
function driftBefore(
  { samples }: Stretch,
  edgeAt: number,
  sampleRateHz: number,
  noise: number,
  closer: number,
): number {
  const from = Math.max(0, Math.round(edgeAt - BEFORE_FROM_S * sampleRateHz));
  const half = (Math.round(edgeAt - BEFORE_UNTIL_S * sampleRateHz) - from) >> 1;
  if (half < 4) return 0;
  let sum = 0;
  for (let i = 0; i < half; i++) sum += samples[from + half + i]! - samples[from + i]!;
  const carried = (edgeAt - from - half) / half;
  const byNoise = (2 * noise * noise * closer) / half;
  return carried * Math.sqrt(Math.max(0, (sum / half) ** 2 - byNoise));
}

/** The pulse's height, by a parabola through its top. */
function topAfter(
  { samples, length }: Stretch,
  edgeAt: number,
  base: number,
  sign: number,
  sampleRateHz: number,
): number {
  const until = Math.min(length, edgeAt + 1 + Math.ceil(TOP_S * sampleRateHz));
  let peakAt = edgeAt + 1;
  for (let i = edgeAt + 1; i < until; i++) {
    if (sign * (samples[i]! - base) < 0) break; // the other lobe has begun
    if (sign * samples[i]! > sign * samples[peakAt]!) peakAt = i;
  }
  const highest = sign * (samples[peakAt]! - base);
  let [from, to] = [peakAt, peakAt];
  while (from > edgeAt + 1 && sign * (samples[from - 1]! - base) > EDGE_HIGH * highest) from--;
  while (to < until - 1 && sign * (samples[to + 1]! - base) > EDGE_HIGH * highest) to++;
  const fitted = polynomial(samples, from, to, base, sign);
  if (!fitted) return highest;
  const [c0, c1, c2] = fitted;
  const half = (to - from) / 2;
  const top = c2 < 0 ? -c1 / (2 * c2) : NaN;
  return Math.abs(top) <= half ? c0 + (c1 * top) / 2 : c0;
}

interface Crossing {
  readonly place: number;
  /** Rise in a sample there, above 0. */
  readonly slope: number;
  /** Samples that tell of it. */
  readonly samples: number;
}

/** Where the edge passes half the height: a parabola through its samples where there are enough, else a line. */
function crossing(
  { samples, length }: Stretch,
  edgeAt: number,
  base: number,
  sign: number,
  height: number,
): Crossing {
  let [from, to] = [edgeAt, edgeAt + 1];
  const share = (i: number): number => (sign * (samples[i]! - base)) / height;
  // noise may go up and down on the way: the edge ends at its levels, not at the first step back
  while (from > 0 && share(from - 1) > EDGE_LOW) from--;
  while (to < length - 1 && share(to + 1) < EDGE_HIGH) to++;
  const fitted = polynomial(samples, from, to, base, sign);
  const off = fitted ? rootNear(fitted, height / 2) : NaN;
  const at = (from + to) / 2 + off;
  const slope = height * (share(edgeAt + 1) - share(edgeAt));
  if (!(at > from && at < to))
    return { place: edgeAt + (0.5 - share(edgeAt)) / (share(edgeAt + 1) - share(edgeAt)), slope, samples: 2 };
  return { place: at, slope: fitted![1] + 2 * fitted![2] * off, samples: to - from + 1 };
}

/** Standard deviation of a place on the edge in those of one sample: of a parabola's value at its middle, or of a line's
 * between two; and of half the height, whose top a parabola told.
 * @source Savitzky and Golay's weights: a parabola's middle has 9/4n of a sample's variance (worked out by hand) */
function placeShare(samples: number): number {
  return Math.sqrt(Math.min(1, 9 / (4 * samples)) + TOP_VARIANCE / 4);
}

/** Least-squares parabola over samples from..to about their middle; null for fewer than four. */
function polynomial(
  samples: Float64Array,
  from: number,
  to: number,
  base: number,
  sign: number,
): readonly [number, number, number] | null {
  const n = to - from + 1;
  if (n < 4) return null;
  const middle = (from + to) / 2;
  let [s2, s4, y0, y1, y2] = [0, 0, 0, 0, 0];
  for (let i = from; i <= to; i++) {
    const x = i - middle;
    const y = sign * (samples[i]! - base);
    s2 += x * x;
    s4 += x ** 4;
    y0 += y;
    y1 += x * y;
    y2 += x * x * y;
  }
  const c2 = (n * y2 - s2 * y0) / (n * s4 - s2 * s2);
  return [(y0 - c2 * s2) / n, y1 / s2, c2];
}

/** Where c0 + c1 x + c2 x² is a value, nearest 0. */
function rootNear([c0, c1, c2]: readonly [number, number, number], value: number): number {
  const a = c0 - value;
  const inside = c1 * c1 - 4 * c2 * a;
  if (!(inside >= 0)) return NaN;
  return (-2 * a) / (c1 + Math.sign(c1) * Math.sqrt(inside));
}
