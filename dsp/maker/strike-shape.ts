/** What one strike, or one pulse of a crank sensor, looks like: its times and shares in, a band-limited table out. */
import { peakOne, tableOfDecays, tableOfSmooth, type Decay, type ShapeTable } from './anti-alias';

/** A strike as a clamp gives it: a rise, a fall, and the clamp's own ringing. Its instant is the onset of the rise. */
export interface StrikeShape {
  readonly kind: 'strike';
  /** From 10 to 90 % of the charging exponential. */
  readonly riseS: number;
  /** To 1/e. */
  readonly fallS: number;
  readonly ringHz: number;
  /** The ringing beside the pulse, both at their onset's height. */
  readonly ringShare: number;
  /** To 1/e. */
  readonly ringDecayS: number;
}

/** A crank sensor's pulse. Its instant: its leading edge passes half its height. A reluctance pulse goes up first. */
export interface SensorShape {
  readonly kind: 'optical' | 'reluctance' | 'hall';
  /** Optical: width at half height. Reluctance: from top to bottom. Hall: from edge to edge. */
  readonly widthS: number;
}

export type PulseShape = StrikeShape | SensorShape;

/** ln 9: from 10 to 90 % of an exponential takes this many time constants. */
const RISE_CONSTANTS = Math.log(9);
/** The tail is followed until 1e-7 is left: below one step of 24 bits. */
const TAIL_CONSTANTS = Math.log(1e7);

/** The strike as a sum of decays: (1 - exp(-t/rise)) (exp(-t/fall) + share sin(2 pi f t) exp(-t/ring)).
 * @returns the decays with times in samples at the given rate */
export function strikeDecays(shape: StrikeShape, sampleRateHz: number): Decay[] {
  const rise = RISE_CONSTANTS / (shape.riseS * sampleRateHz);
  const fall = 1 / (shape.fallS * sampleRateHz);
  const ring = 1 / (shape.ringDecayS * sampleRateHz);
  const turn = (2 * Math.PI * shape.ringHz) / sampleRateHz;
  const share = shape.ringShare; // sin x is the real part of -j exp(jx)
  return [
    { re: 1, im: 0, decay: fall, turn: 0 },
    { re: -1, im: 0, decay: fall + rise, turn: 0 },
    { re: 0, im: -share, decay: ring, turn },
    { re: 0, im: share, decay: ring + rise, turn },
  ];
}

/** The error function's integral, by which a Hall edge rises. @source Abramowitz & Stegun 7.1.26 (memory): 1.5e-7 */
function risen(x: number): number {
  const t = 1 / (1 + (0.3275911 * Math.abs(x)) / Math.SQRT2);
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - poly * Math.exp((-x * x) / 2);
  return x < 0 ? (1 - erf) / 2 : (1 + erf) / 2;
}

/** A Hall edge takes this share of the pulse, as the standard deviation of its smooth step. */
const HALL_EDGE_SHARE = 0.12;
/** Half width of a Gaussian at half height, in standard deviations. */
const HALF_HEIGHT = Math.sqrt(2 * Math.LN2);
/** Where the first lobe of a Gaussian's slope rises through half its height, standard deviations before its middle: the
 * larger root of x exp(-x²/2) = exp(-1/2) / 2. */
const HALF_LOBE = 1.9216228894;

function sensorTable(shape: SensorShape, sampleRateHz: number): ShapeTable {
  const width = shape.widthS * sampleRateHz;
  if (shape.kind === 'hall') {
    const edge = HALL_EDGE_SHARE * width;
    return tableOfSmooth((t) => risen(t / edge) - risen((t - width) / edge), -6 * edge, width + 6 * edge);
  }
  const isOptical = shape.kind === 'optical';
  const sd = isOptical ? width / 2 / HALF_HEIGHT : width / 2;
  const middle = sd * (isOptical ? HALF_HEIGHT : HALF_LOBE);
  const bell = (t: number): number => Math.exp((-t * t) / (2 * sd * sd));
  const lobes = (t: number): number => (isOptical ? bell(t) : (-t / sd) * bell(t));
  return tableOfSmooth((t) => lobes(t - middle), middle - 6 * sd, middle + 6 * sd);
}

/** @returns the shape as the input hears it at that rate, its largest excursion 1
 * @throws RangeError if a time, a frequency or the rate is not above zero */
export function pulseTable(shape: PulseShape, sampleRateHz: number): ShapeTable {
  for (const [name, value] of Object.entries({ sampleRateHz, ...shape }))
    if (typeof value === 'number' && name !== 'ringShare' && !(value > 0))
      throw new RangeError(`${name} of a pulse must be above 0, got ${value}`);
  if (shape.kind !== 'strike') return peakOne(sensorTable(shape, sampleRateHz));
  const longestS = Math.max(shape.fallS, shape.ringShare === 0 ? 0 : shape.ringDecayS);
  return peakOne(tableOfDecays(strikeDecays(shape, sampleRateHz), longestS * TAIL_CONSTANTS * sampleRateHz));
}
