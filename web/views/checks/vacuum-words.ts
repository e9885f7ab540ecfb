/** Vacuum in words and steps: readings, unit and fit in; the next vacuum to set and what is not seen out. */
import type { VacuumReading } from '../../../core/job';
import { KPA_PER, type VacuumFit, type VacuumPoints, type VacuumUnit } from '../../../core/vacuum';
import { numberText } from '../../format';

const STEPS: Readonly<Record<VacuumUnit, number>> = { inHg: 1, kPa: 4, mbar: 40 };

/** From one vacuum to the next, in the unit. */
export const vacuumStep = (unit: VacuumUnit): number => STEPS[unit];

/** The vacuum to set next, in the unit: one step past the last reading's, from none. */
export function nextVacuum(readings: readonly Pick<VacuumReading, 'vacuumKpa'>[], unit: VacuumUnit): number {
  const last = readings.at(-1);
  if (!last) return 0;
  const step = vacuumStep(unit);
  return Math.round(last.vacuumKpa / KPA_PER[unit] / step) * step + step;
}

export const vacuumText = (value: number, unit: VacuumUnit): string =>
  `${numberText(value, unit === 'mbar' || Math.abs(value - Math.round(value)) < 0.05 ? 0 : 1)} ${unit}`;

/** What the readings don't show, and what may be mixed into them. */
export function vacuumNotes(
  fit: VacuumFit,
  { isMixed, isOverCurve }: Pick<VacuumPoints, 'isMixed' | 'isOverCurve'>,
  count: number,
): string[] {
  const notes: string[] = [];
  if (isMixed)
    notes.push(
      'The speeds differ and the curve is not seen at each of them: the weights’ advance may be mixed in. Hold one speed.',
    );
  if (isOverCurve) notes.push('The speeds differ: what the weights give at each of them is taken off.');
  if (count < 5)
    return [
      ...notes,
      `${count === 1 ? '1 reading' : `${count} readings`}: at least 5 are needed, at 3 or more vacuums.`,
    ];
  if (fit.startKpa === null)
    notes.push('The start is not seen: read at two or more vacuums below it, in closer steps.');
  if (fit.fullKpa === null)
    notes.push('Full is not seen: read at two or more higher vacuums, in closer steps.');
  if (fit.setAside.length > 0)
    notes.push(
      `${fit.setAside.length === 1 ? 'One reading is' : `${fit.setAside.length} readings are`} set aside as a slip.`,
    );
  return notes;
}
