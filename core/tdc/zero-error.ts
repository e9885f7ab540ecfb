/** A fit with the uncertainty of the tape's zero in it: levels become wider, for one and the same error lies in every
 * reading; start, all-in, range and slope stay, for it moves them not at all. */
import type { CurveFit, Figure } from '../fit';
import type { Corrections } from '../job';
import { NORMAL_95 } from '../curve/student-t';

/** @returns the same fit where the zero was not proved or is sure
 * @source Independent errors add by their squares */
export function withZeroError(
  fit: CurveFit,
  { tapeZeroSdDeg }: Pick<Corrections, 'tapeZeroSdDeg'>,
): CurveFit {
  if (tapeZeroSdDeg === null || tapeZeroSdDeg === 0) return fit;
  const reachDeg = NORMAL_95 * tapeZeroSdDeg;
  const wider = (figure: Figure): Figure => ({
    value: figure.value,
    low: figure.value - Math.hypot(figure.value - figure.low, reachDeg),
    high: figure.value + Math.hypot(figure.high - figure.value, reachDeg),
  });
  return {
    ...fit,
    initialDeg: fit.initialDeg && wider(fit.initialDeg),
    totalDeg: fit.totalDeg && wider(fit.totalDeg),
    notes: [...fit.notes, ...zeroNote(fit, reachDeg)],
    band: (rpm) => {
      const [value, band] = [fit.predict(rpm), fit.band(rpm)];
      if (value === null || band === null) return null;
      const { low, high } = wider({ value, ...band });
      return { low, high };
    },
  };
}

function zeroNote({ initialDeg, totalDeg }: CurveFit, reachDeg: number): string[] {
  const named = [initialDeg && 'initial', totalDeg && 'total'].filter((name) => name !== null);
  if (named.length === 0) return [];
  return [
    `The ${named.join(' and ')} hold${named.length === 1 ? 's' : ''} the tape’s zero, good to ${reachDeg.toFixed(1)} degrees either way; start, all-in and range do not depend on it.`,
  ];
}
