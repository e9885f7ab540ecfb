/** A timing tape as figures: the damper in; where each mark stands along the tape, in millimetres from its left end,
 * out. Seen from outside with the engine's front below: the reader leans over the damper. */
import { arcMm } from '../angle';
import type { RotorSense, Strokes } from '../engine';

export interface TapeSpec {
  readonly diameterMm: number;
  /** The way the crank turns, seen from the front. */
  readonly sense: RotorSense;
  /** Crank degrees that the tape shows before and after top dead centre; 180 and 180 make it go all round. */
  readonly beforeDeg: number;
  readonly afterDeg: number;
  /** A second mark set for the cylinders after No. 1, at equal spacing; null: none. */
  readonly firing: { readonly cylinders: number; readonly strokes: Strokes } | null;
}

export const TAPE_LIMITS = { leastDiameterMm: 40, mostDiameterMm: 1000, mostDeg: 180 } as const;

/** One line across the tape. */
export interface TapeMark {
  readonly xMm: number;
  /** Positive before top dead centre. */
  readonly deg: number;
  readonly rank: 'zero' | 'ten' | 'five' | 'one';
  /** The number as it is keyed in: negative after top dead centre; null: none is written. */
  readonly label: string | null;
}

/** Where one or more cylinders after No. 1 stand at their top. */
export interface FiringMark {
  readonly xMm: number;
  /** On the scale of No. 1. */
  readonly deg: number;
  /** Places in the firing order, No. 1 being the first. */
  readonly places: readonly number[];
  /** Tens before that top, where they fall on the tape. */
  readonly tens: readonly { readonly xMm: number; readonly deg: number }[];
}

export interface Tape {
  readonly spec: TapeSpec;
  readonly lengthMm: number;
  readonly mmPerDeg: number;
  /** Degrees from one line to the next. */
  readonly stepDeg: number;
  readonly goesRound: boolean;
  readonly marks: readonly TapeMark[];
  readonly firingMarks: readonly FiringMark[];
}

/** Lines closer than this run into each other; numbers closer than that, too. */
const LEAST_LINE_MM = 0.8;
const LEAST_LABEL_MM = 7;

function assertSpec({ diameterMm, beforeDeg, afterDeg, firing }: TapeSpec): void {
  const { leastDiameterMm, mostDiameterMm, mostDeg } = TAPE_LIMITS;
  if (!(diameterMm >= leastDiameterMm && diameterMm <= mostDiameterMm))
    throw new RangeError(
      `wanted a damper of ${leastDiameterMm} to ${mostDiameterMm} mm across, got ${diameterMm}`,
    );
  for (const deg of [beforeDeg, afterDeg])
    if (!(deg >= 0 && deg <= mostDeg))
      throw new RangeError(`wanted 0 to ${mostDeg} degrees either side, got ${deg}`);
  if (beforeDeg + afterDeg < 10)
    throw new RangeError(`wanted a tape of 10 degrees or more, got ${beforeDeg + afterDeg}`);
  if (firing && !(Number.isInteger(firing.cylinders) && firing.cylinders >= 1 && firing.cylinders <= 24))
    throw new RangeError(`wanted 1 to 24 cylinders, got ${firing.cylinders}`);
}

/** Lays out a tape.
 * @throws RangeError if the damper or the degrees cannot be
 * @source θ degrees on a diameter D span π·D·θ/360. What stands at a fixed pointer θ before the zero mark comes there is
 * the part of the rim that runs θ ahead of it: to the right of zero, at the top, where the crank turns clockwise. */
export function layTape(spec: TapeSpec): Tape {
  assertSpec(spec);
  const mmPerDeg = arcMm(spec.diameterMm, 1);
  const stepDeg = [1, 2, 5].find((step) => step * mmPerDeg >= LEAST_LINE_MM)!;
  const labelDeg = [10, 20, 30].find((step) => step * mmPerDeg >= LEAST_LABEL_MM)!;
  const placeOf = (deg: number): number =>
    (spec.sense === 'clockwise' ? deg + spec.afterDeg : spec.beforeDeg - deg) * mmPerDeg;
  const marks: TapeMark[] = [];
  for (let deg = -Math.floor(spec.afterDeg / stepDeg) * stepDeg; deg <= spec.beforeDeg; deg += stepDeg)
    marks.push({ xMm: placeOf(deg), deg, rank: rankOf(deg), label: labelOf(deg, labelDeg) });
  return {
    spec,
    lengthMm: arcMm(spec.diameterMm, spec.beforeDeg + spec.afterDeg),
    mmPerDeg,
    stepDeg,
    goesRound: spec.beforeDeg + spec.afterDeg === 360,
    marks,
    firingMarks: firingMarks(spec, placeOf),
  };
}

const rankOf = (deg: number): TapeMark['rank'] =>
  deg === 0 ? 'zero' : deg % 10 === 0 ? 'ten' : deg % 5 === 0 ? 'five' : 'one';

const labelOf = (deg: number, everyDeg: number): string | null =>
  deg % everyDeg === 0 ? `${deg < 0 ? '\u2212' : ''}${Math.abs(deg)}` : null;

/** Most degrees that the tens before another cylinder's top go back. */
const TENS_DEG = 40;

/** The tops of the other cylinders: each comes one firing interval after the one before it, so its mark runs behind. */
function firingMarks(spec: TapeSpec, placeOf: (deg: number) => number): FiringMark[] {
  if (spec.firing === null) return [];
  const { cylinders, strokes } = spec.firing;
  const everyDeg = (strokes * 180) / cylinders;
  const onTape = (deg: number): boolean => deg >= -spec.afterDeg && deg <= spec.beforeDeg;
  const seamDeg = spec.sense === 'clockwise' ? -180 : 180; // at the tape's left end, over the tab
  const placesAt = new Map<number, number[]>();
  for (let k = 0; k < cylinders; k++) {
    const turned = Number((-k * everyDeg).toFixed(9)) % 360;
    const deg = turned < -180 ? turned + 360 : turned === -180 ? seamDeg : turned + 0;
    placesAt.set(deg, [...(placesAt.get(deg) ?? []), k + 1]);
  }
  const gapDeg = 360 / placesAt.size;
  const tens = [10, 20, 30, TENS_DEG].filter((ten) => ten < gapDeg);
  return [...placesAt]
    .filter(([deg]) => onTape(deg))
    .map(([deg, places]) => ({
      xMm: placeOf(deg),
      deg,
      places,
      tens: tens
        .map((ten) => ({ deg: ten, at: deg + ten > 180 ? deg + ten - 360 : deg + ten }))
        .filter(({ at }) => onTape(at))
        .map(({ deg: ten, at }) => ({ xMm: placeOf(at), deg: ten })),
    }))
    .sort((a, b) => a.xMm - b.xMm);
}
