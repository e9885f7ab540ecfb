/** What a fit has to say in words: what was seen and what was not in, plain sentences out. */
import { advanceAt, type ConfidenceSet } from './allowed-curves';
import { offScale } from './ramp-shapes';
import type { CornerView } from './seen';

export interface FitFindings {
  readonly points: readonly { readonly rpm: number; readonly advanceDeg: number }[];
  readonly setAside: readonly number[];
  /** Speeds used, rising. */
  readonly rpm: ArrayLike<number>;
  /** The one level of readings that do not rise; null where they rise or are too few. */
  readonly level: { readonly value: number } | null;
  readonly atIdle: boolean;
  readonly curve: {
    readonly set: ConfidenceSet;
    readonly start: CornerView;
    readonly allIn: CornerView;
    readonly falling: boolean;
  } | null;
}

const deg = (value: number): string => `${value.toFixed(1)} degrees`;
const rpmText = (value: number): string => `${Math.round(value)} rpm`;

/** @returns sentences, the most important first */
export function fitNotes(findings: FitFindings): string[] {
  return [...seenNotes(findings), ...shapeNotes(findings), ...slipNotes(findings)];
}

function seenNotes({ rpm, level, atIdle, curve }: FitFindings): string[] {
  const [low, high] = [rpmText(rpm[0] ?? 0), rpmText(rpm[rpm.length - 1] ?? 0)];
  if (level !== null) {
    const said = `The readings from ${low} to ${high} stay level at ${deg(level.value)}: no rise is seen.`;
    const meant = atIdle
      ? 'That level is taken as the initial timing; the start lies above the highest reading, if the weights move at all.'
      : 'Whether that is the initial or the total they cannot say: read slower as well.';
    return [said, meant];
  }
  if (curve === null)
    return [
      `${rpm.length === 1 ? '1 reading' : `${rpm.length} readings`} cannot show a curve: at least 5 at 3 or more different speeds are needed.`,
    ];
  if (curve.falling)
    return ['The advance falls as the speed rises: check the signs of the readings and the vacuum line.'];
  return [...startNotes(curve.start, low), ...allInNotes(curve.allIn, high)];
}

function startNotes({ level, place, looksLevel }: CornerView, low: string): string[] {
  if (level && place) return [];
  if (level) return ['The start is not seen: too few readings on the ramp to say where it begins.'];
  if (looksLevel)
    return [
      `The initial timing and the start are not seen yet: the lowest readings look level, but as they scatter a rise from ${low} on explains them as well. Read once or twice more at ${low}, and lower if it will run there, or pin the weights.`,
    ];
  return [
    `The initial timing and the start are not seen: the readings do not show a level stretch at the lowest speeds, so the advance at ${low} may already hold some centrifugal advance. Read at two or more lower speeds, or pin the weights.`,
  ];
}

function allInNotes({ level, place, looksLevel }: CornerView, high: string): string[] {
  if (level && place) return [];
  if (level) return ['The all-in speed is not seen: too few readings on the ramp to say where it ends.'];
  if (looksLevel)
    return [
      `The total and the all-in speed are not seen yet: the highest readings look level, but as they scatter a slow rise up to ${high} explains them as well. Read once or twice more at ${high}, and at higher speeds if the engine's maker allows them.`,
    ];
  return [
    `The total and the all-in speed are not seen: the readings do not show a level stretch up to ${high}. Read at two or more higher speeds, if the engine's maker allows them.`,
  ];
}

function shapeNotes({ curve }: FitFindings): string[] {
  if (curve === null || curve.falling) return [];
  const { best } = curve.set;
  if (best.shape.name === 'two slopes') {
    const middle = offScale(best.scale, best.corners[1]!);
    return [
      `The ramp has two slopes that meet at ${rpmText(middle)}, as with a second spring that has slack.`,
    ];
  }
  if (best.shape.name === 'curved') return ['The ramp steepens with speed, as weights against a spring do.'];
  return [];
}

function slipNotes({ points, setAside, curve, level }: FitFindings): string[] {
  return setAside.map((place) => {
    const { rpm, advanceDeg } = points[place]!;
    const expected = curve !== null ? advanceAt(curve.set.best, rpm) : (level?.value ?? advanceDeg);
    const off = advanceDeg - expected;
    return (
      `Reading ${place + 1} (${rpmText(rpm)}, ${deg(advanceDeg)}) lies ${deg(Math.abs(off))} ` +
      `${off > 0 ? 'above' : 'below'} the curve through the others and is set aside as a slip.`
    );
  });
}
