/** Distributors simulated part by part: posts, arms, springs as lengths between points, a loop with slack, friction, a
 * stop. A seed in; readings as a person would take them and the true curve of any change of parts out. Shares no code
 * and no formula with the mechanism, its fit or its forecast: every moment is a cross product of coordinates, and the
 * balance is found by halving. */
import { createRandom, type Random } from '../../dsp/maker/random';

type Point = readonly [number, number];
const cross = (a: Point, b: Point): number => a[0] * b[1] - a[1] * b[0];
const less = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1]];
const length = (a: Point): number => Math.hypot(a[0], a[1]);
const radians = (deg: number): number => (deg * Math.PI) / 180;

/** Millimetres, kilograms, degrees; the shaft is the origin, the pin on the first axis. */
interface Geometry {
  readonly massKg: number;
  readonly pin: Point;
  readonly armMm: number;
  readonly restAngleDeg: number;
  readonly swingPerDeg: number;
  /** Where each spring hooks on its weight: distance from the pin, and angle from the arm. */
  readonly hookMm: number;
  readonly hookAngleDeg: number;
  /** The springs' fixed post. */
  readonly post: Point;
}

interface Coil {
  readonly rateNPerMm: number;
  /** Length between hook and post at which it begins to pull. */
  readonly freeMm: number;
}

export interface SimulatedDistributor {
  readonly geometry: Geometry;
  readonly first: Coil;
  readonly second: Coil | null;
  /** Crank degrees. */
  readonly rangeDeg: number;
  readonly initialDeg: number;
  /** Of the springs' moment at rest. */
  readonly frictionShare: number;
}

/** From the pin at an angle off the line to the shaft. */
const fromPin = (pin: Point, distance: number, angleDeg: number): Point => [
  pin[0] - distance * Math.cos(radians(angleDeg)),
  pin[1] + distance * Math.sin(radians(angleDeg)),
];

const angleAt = (g: Geometry, crankDeg: number): number => g.restAngleDeg + (g.swingPerDeg * crankDeg) / 2;

/** Outward moment of both weights for each (rad/s)², N m. */
function outward(g: Geometry, crankDeg: number): number {
  const centre = fromPin(g.pin, g.armMm, angleAt(g, crankDeg));
  const force: Point = [g.massKg * centre[0] * 1e-3, g.massKg * centre[1] * 1e-3]; // along the radius
  return 2 * Math.abs(cross(less(centre, g.pin), force)) * 1e-3;
}

const hookAt = (g: Geometry, crankDeg: number): Point =>
  fromPin(g.pin, g.hookMm, angleAt(g, crankDeg) + g.hookAngleDeg);

const coilLength = (g: Geometry, crankDeg: number): number => length(less(g.post, hookAt(g, crankDeg)));

/** Lever of a pull from hook to post about the pin, mm. */
function lever(g: Geometry, crankDeg: number): number {
  const hook = hookAt(g, crankDeg);
  const pull = less(g.post, hook);
  return Math.abs(cross(less(hook, g.pin), pull)) / length(pull);
}

const coilMoment = (g: Geometry, coil: Coil, crankDeg: number): number =>
  coil.rateNPerMm * Math.max(0, coilLength(g, crankDeg) - coil.freeMm) * lever(g, crankDeg) * 1e-3;

/** What is asked of a distributor: forces of each spring times a factor, another range. */
export interface PartsChange {
  readonly first: number;
  readonly second: number;
  readonly rangeDeg: number;
}

/** Crank speed at which the moments balance, friction helping (-1), hindering (1) or left out (0). */
function balanceRpm(
  d: SimulatedDistributor,
  change: PartsChange,
  crankDeg: number,
  friction: number,
): number {
  const { geometry: g, first, second } = d;
  const held =
    change.first * coilMoment(g, first, crankDeg) +
    (second ? change.second * coilMoment(g, second, crankDeg) : 0) +
    friction * d.frictionShare * coilMoment(g, first, 0);
  const shaft = Math.sqrt(Math.max(held, 0) / outward(g, crankDeg));
  return (2 * shaft * 60) / (2 * Math.PI);
}

/** Crank degrees beyond the initial; by halving. */
export function trueAdvance(d: SimulatedDistributor, change: PartsChange, rpm: number, friction = 0): number {
  if (balanceRpm(d, change, 0, friction) >= rpm) return 0;
  if (balanceRpm(d, change, change.rangeDeg, friction) <= rpm) return change.rangeDeg;
  let [low, high] = [0, change.rangeDeg];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (balanceRpm(d, change, middle, friction) < rpm) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

export const trueStartRpm = (d: SimulatedDistributor, change: PartsChange): number =>
  balanceRpm(d, change, 0, 0);
export const trueAllInRpm = (d: SimulatedDistributor, change: PartsChange): number =>
  balanceRpm(d, change, change.rangeDeg, 0);
export const asFound = (d: SimulatedDistributor): PartsChange => ({
  first: 1,
  second: 1,
  rangeDeg: d.rangeDeg,
});

export interface SimulationOptions {
  readonly second?: 'some' | 'always' | 'never';
  /** The most that friction is of the springs' moment at rest. */
  readonly mostFriction?: number;
}

function madeGeometry(random: Random): Geometry {
  const armMm = random.between(10, 18);
  const pinMm = random.between(18, 28);
  return {
    massKg: random.between(0.03, 0.07),
    pin: [pinMm, 0],
    armMm,
    restAngleDeg: random.between(50, 80),
    swingPerDeg: random.between(1.5, 2.5),
    hookMm: random.between(12, 20),
    hookAngleDeg: random.between(0, 20),
    post: [-random.between(2, 12), -random.between(2, 12)],
  };
}

/** Springs such that it starts and is all in where it should, the second taking a share at the stop. */
function springsFor(
  g: Geometry,
  startRpm: number,
  allInRpm: number,
  rangeDeg: number,
  second: { readonly slackDeg: number; readonly share: number } | null,
): { first: Coil; second: Coil | null } | null {
  const needed = (rpm: number, crankDeg: number): number =>
    outward(g, crankDeg) * ((rpm / 2) * ((2 * Math.PI) / 60)) ** 2;
  const share = second ? second.share : 0;
  const pullAtRest = needed(startRpm, 0) / lever(g, 0) / 1e-3;
  const pullAtStop = (needed(allInRpm, rangeDeg) * (1 - share)) / lever(g, rangeDeg) / 1e-3;
  const rateNPerMm = (pullAtStop - pullAtRest) / (coilLength(g, rangeDeg) - coilLength(g, 0));
  if (!(rateNPerMm > 0)) return null;
  const first = { rateNPerMm, freeMm: coilLength(g, 0) - pullAtRest / rateNPerMm };
  if (!second) return { first, second: null };
  const freeMm = coilLength(g, second.slackDeg);
  const taken = (needed(allInRpm, rangeDeg) * share) / lever(g, rangeDeg) / 1e-3;
  return { first, second: { rateNPerMm: taken / (coilLength(g, rangeDeg) - freeMm), freeMm } };
}

/** Speed must rise with advance, as far as any stop may let it. */
const rises = (d: SimulatedDistributor): boolean =>
  Array.from({ length: 60 }, (_, i) => balanceRpm(d, asFound(d), i * 0.6, 0)).every(
    (rpm, i, all) => i === 0 || rpm > all[i - 1]! + 1,
  );

/** A distributor of a made engine: starts at 800 to 1500 rpm, all in at 2300 to 3800, range 14 to 26 degrees. */
export function simulatedDistributor(seed: number, options: SimulationOptions = {}): SimulatedDistributor {
  const random = createRandom(seed, 5171);
  for (;;) {
    const geometry = madeGeometry(random);
    const rangeDeg = random.between(14, 26);
    const withSecond = options.second === 'always' || (options.second !== 'never' && random.uniform() < 0.5);
    const slackDeg = rangeDeg * random.between(0.25, 0.65);
    const second = withSecond ? { slackDeg, share: random.between(0.15, 0.5) } : null;
    const [startRpm, allInRpm] = [random.between(800, 1500), random.between(2300, 3800)];
    const springs = springsFor(geometry, startRpm, allInRpm, rangeDeg, second);
    const initialDeg = random.between(5, 18);
    const frictionShare = random.between(0, options.mostFriction ?? 0.04);
    if (springs === null) continue;
    const made = { geometry, ...springs, rangeDeg, initialDeg, frictionShare };
    if (rises(made)) return made;
  }
}

export interface ReadingOptions {
  readonly count?: number;
  readonly sdDeg?: number;
  /** Readings are noted to the nearest so many degrees; 0 for as they are. */
  readonly roundDeg?: number;
  /** How the speeds were come to: all on the way up, or up and down in turn. */
  readonly sweep?: 'up' | 'both';
  /** Speeds, rpm; from below the start to past the all-in where left out. */
  readonly fromRpm?: number;
  readonly toRpm?: number;
  /** The lowest speed stands this far above the true start, rpm; goes before `fromRpm`. */
  readonly aboveStartRpm?: number;
}

export interface TakenReading {
  readonly rpm: number;
  readonly advanceDeg: number;
}

/** One run at even steps, each held to some 15 rpm; 12 to 16 readings unless told. */
export function takenReadings(
  d: SimulatedDistributor,
  seed: number,
  options: ReadingOptions = {},
): TakenReading[] {
  const random = createRandom(seed, 5172);
  const count = options.count ?? 12 + Math.floor(5 * random.uniform());
  const slowest = options.fromRpm ?? random.between(550, 750);
  const fromRpm =
    options.aboveStartRpm === undefined ? slowest : trueStartRpm(d, asFound(d)) + options.aboveStartRpm;
  const toRpm = options.toRpm ?? trueAllInRpm(d, asFound(d)) + random.between(400, 1000);
  return Array.from({ length: count }, (_, i) => {
    const rpm = fromRpm + ((toRpm - fromRpm) * i) / (count - 1) + 15 * random.normal();
    const friction = options.sweep === 'both' && i % 2 === 1 ? -1 : 1;
    const seen =
      d.initialDeg + trueAdvance(d, asFound(d), rpm, friction) + (options.sdDeg ?? 0.8) * random.normal();
    const step = options.roundDeg ?? 0;
    return { rpm: Math.round(rpm), advanceDeg: step > 0 ? Math.round(seen / step) * step : seen };
  });
}
