/** How a figure with its interval is shown, on screen and on paper alike: the last digit that its readings bear out. */
import type { Figure } from './fit';

export type FigureUnit = 'deg' | 'rpm' | 'mm' | 'times';

/** Decimals that each unit is shown with. */
export const PLACES: Readonly<Record<FigureUnit, number>> = { deg: 1, rpm: 0, mm: 1, times: 2 };

/** A speed at which the curve bends is known to some tens of rpm at best. */
export const tens = (rpm: number): number => Math.round(rpm / 10) * 10;

/** A figure as it is shown: a speed to tens, unless it has no width because it was wanted or set. */
export function shownFigure(figure: Figure, unit: FigureUnit): Figure {
  if (unit !== 'rpm' || figure.low === figure.high) return figure;
  return { value: tens(figure.value), low: tens(figure.low), high: tens(figure.high) };
}
