/** A scenario for a made recording, as plain data: the engine, how it is driven, what fails, what is heard. Nothing is
 * computed here but the advance that the scenario's curve gives. */
import type { MadePoints } from './closing';
import type { FiringEngine } from './firing';
import { advanceAtSpeed, type Mechanism } from '../mechanism';
import type { SpeedProfile } from './motion';
import { practiceMechanism } from '../practice/practice-distributor';
import { CLEAN_SOUND, type SensorSound, type Sound } from './sound';

/** Where a spark's advance comes from. Crank degrees before TDC. */
export type AdvanceCurve =
  | { readonly kind: 'mechanism'; readonly initialDeg: number; readonly mechanism: Mechanism }
  | {
      readonly kind: 'corners';
      readonly corners: readonly { readonly rpm: number; readonly advanceDeg: number }[];
    };

/** A capacitor-discharge box that fires again and again while the crank turns a little. */
export interface Repeats {
  readonly belowRpm: number;
  readonly spacingS: number;
  readonly spanDeg: number;
}

export interface CrankSensor extends SensorSound {
  readonly beforeTdcDeg: number;
  /** Share of pulses that do not come. */
  readonly missedShare: number;
}

export interface Scenario {
  readonly sampleRateHz: number;
  /** null: floating point, not rounded. */
  readonly bits: 16 | 24 | null;
  readonly seconds: number;
  readonly seed: number;
  readonly engine: FiringEngine;
  /** Top dead centres within a cycle, crank degrees, in firing order; null: evenly. */
  readonly firingDeg: readonly number[] | null;
  readonly profile: SpeedProfile;
  readonly curve: AdvanceCurve;
  /** Standard deviation of a spark's place, crank degrees. */
  readonly sparkScatterDeg: number;
  /** Share of sparks that do not come, one by one. */
  readonly misfireShare: number;
  /** Above this speed sparks are dropped many in a row; null: no limiter. */
  readonly limiterRpm: number | null;
  readonly repeats: Repeats | null;
  /** Points whose closing is heard, on a coil lead alone; null: a box without points, or not heard. */
  readonly points: MadePoints | null;
  readonly sound: Sound;
  /** The second channel; needed by a `sensor` pick-up. */
  readonly sensor: CrankSensor | null;
  /** Samples of nothing at all before and after, seconds; both within `seconds`. */
  readonly quietStartS: number;
  readonly quietEndS: number;
}

/** A four-stroke with eight cylinders held at 2000 rpm, heard on its No. 1 plug lead for ten seconds. */
export const PLAIN_SCENARIO: Scenario = {
  sampleRateHz: 48_000,
  bits: 16,
  seconds: 10,
  seed: 1,
  engine: { strokes: 4, cylinders: 8, pickup: 'plug' },
  firingDeg: null,
  profile: { corners: [{ timeS: 0, rpm: 2000 }], wanderShare: 0.003 },
  curve: { kind: 'mechanism', initialDeg: 10, mechanism: practiceMechanism('middle', 'middle') },
  sparkScatterDeg: 0.2,
  misfireShare: 0,
  limiterRpm: null,
  repeats: null,
  points: null,
  sound: CLEAN_SOUND,
  sensor: null,
  quietStartS: 0,
  quietEndS: 0,
};

/** The curve's advance at a speed: level outside its corners.
 * @returns crank degrees before TDC @throws RangeError if there are no corners or their speeds do not rise */
export function curveAdvanceDeg(curve: AdvanceCurve, rpm: number): number {
  if (curve.kind === 'mechanism') return curve.initialDeg + advanceAtSpeed(curve.mechanism, rpm);
  const { corners } = curve;
  if (!corners[0] || corners.some((corner, i) => i > 0 && !(corner.rpm > corners[i - 1]!.rpm)))
    throw new RangeError('a curve needs corners with rising speeds');
  const above = corners.findIndex((corner) => corner.rpm > rpm);
  if (above === -1) return corners[corners.length - 1]!.advanceDeg;
  if (above === 0) return corners[0].advanceDeg;
  const [a, b] = [corners[above - 1]!, corners[above]!];
  return a.advanceDeg + ((b.advanceDeg - a.advanceDeg) * (rpm - a.rpm)) / (b.rpm - a.rpm);
}
