/** Limits that a forecast would break, in words: a forecast and the person's limits in, sentences out. */
import type { Figure } from '../fit';
import type { Limits } from '../job';
import type { Forecast } from './forecast';

const deg = (value: number): string => `${value.toFixed(1)} degrees`;

function broken(what: string, figure: Figure | null, mostDeg: number | null): string[] {
  if (figure === null || mostDeg === null || figure.high <= mostDeg) return [];
  if (figure.value > mostDeg)
    return [`${what} of ${deg(figure.value)} would be over your limit of ${deg(mostDeg)}.`];
  return [
    `${what} of ${deg(figure.value)} may be over your limit of ${deg(mostDeg)}: the forecast reaches to ${deg(figure.high)}.`,
  ];
}

/** @param idleRpm null where it is not said
 * @returns sentences; none where the forecast stays below with its whole interval, or where no limit is set */
export function limitsBroken(
  { totalDeg, curve, at }: Pick<Forecast, 'totalDeg' | 'curve' | 'at'>,
  { mostTotalDeg, mostIdleDeg }: Limits,
  idleRpm: number | null,
): string[] {
  const last = curve.at(-1)!.rpm; // where the total itself is not seen the band still tells how high it may go
  return [
    ...broken('The total', totalDeg ?? at(last), mostTotalDeg),
    ...broken('The advance at idle', idleRpm === null ? null : at(idleRpm), mostIdleDeg),
  ];
}
