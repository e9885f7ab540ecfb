/** Engine facts as plain data, and the sums that turn strikes into revolutions. Nothing here knows samples. */

export type Strokes = 2 | 4;
/** Where the clamp sits. `sensor` is a crank sensor alone, one pulse a turn. */
export type Pickup = 'plug' | 'wasted' | 'coil' | 'sensor';
/** Turning sense of the rotor, seen from above the cap. */
export type RotorSense = 'clockwise' | 'anticlockwise';

export interface EngineFacts {
  readonly strokes: Strokes;
  readonly cylinders: number;
  readonly pickup: Pickup;
  /** null: not said yet */
  readonly rotorSense: RotorSense | null;
  readonly idleRpm: number | null;
  readonly damperDiameterMm: number | null;
  readonly housingDiameterMm: number | null;
  /** Piston stroke and rod length, for a proof of top dead centre by the piston's drop. */
  readonly strokeMm: number | null;
  readonly rodMm: number | null;
  /** null: none fitted */
  readonly crankSensor: CrankSensor | null;
  readonly traits: EngineTraits;
}

/** A sensor on another channel, one pulse a crank turn. */
export interface CrankSensor {
  /** Counted from 1. */
  readonly channel: number;
  /** Crank degrees before TDC of No. 1 at which its leading edge passes half its height; null: not found yet. */
  readonly angleDeg: number | null;
  /** By how much it comes late against the clamp's channel, microseconds. */
  readonly delayUs: number;
}

/** What the trade looks at when it chooses a first target; null where it is not said. */
export interface EngineTraits {
  readonly compression: 'low' | 'usual' | 'high' | null;
  readonly camDuration: 'short' | 'usual' | 'long' | null;
  readonly weight: 'heavy' | 'usual' | 'light' | null;
  readonly gearing: 'long' | 'usual' | 'short' | null;
  readonly converter: 'tight' | 'usual' | 'loose' | 'manual' | null;
}

/** Strikes for each crankshaft turn.
 * @source Common practice: a four-stroke cycle takes two turns and fires each plug once; a wasted-spark coil fires
 * on every turn; a distributor's coil fires for every cylinder.
 * @throws RangeError if cylinders is not a whole number from 1 to 24 */
export function strikesPerTurn(engine: Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>): number {
  if (!Number.isInteger(engine.cylinders) || engine.cylinders < 1 || engine.cylinders > 24)
    throw new RangeError(`cylinders must be a whole number from 1 to 24, got ${engine.cylinders}`);
  switch (engine.pickup) {
    case 'coil':
      return (engine.cylinders * 2) / engine.strokes;
    case 'plug':
      return 2 / engine.strokes;
    case 'wasted':
    case 'sensor':
      return 1;
  }
}

/** Engine speed from a strike rate: hertz in, revolutions a minute out. */
export const rpmFromRate = (rateHz: number, perTurn: number): number => (60 * rateHz) / perTurn;
/** The inverse: revolutions a minute in, strikes a second out. */
export const rateFromRpm = (rpm: number, perTurn: number): number => (rpm * perTurn) / 60;

/** Engine speeds that can be: cranking with a weak battery to a racing two-stroke, revolutions a minute. */
export const LOWEST_RPM = 150;
export const HIGHEST_RPM = 12_000;
