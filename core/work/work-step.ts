/** One step of the order of work as plain data, and how its figures become words: a sentence may only use figures that
 * stand beside it. Knows no engine. */
import type { Figure } from '../fit';
import { type FigureUnit, PLACES, shownFigure } from '../shown-figure';

/** `done`: readings show it. `do`: readings show that it is to be done. `not seen`: they don't show which. `blocked`:
 * a limit or a note of knock stands in the way. */
export type WorkState = 'done' | 'do' | 'not seen' | 'blocked';

export interface WorkFigure {
  readonly name: string;
  readonly unit: FigureUnit;
  /** null: not seen. A figure that is wanted, not measured, has an interval of no width. */
  readonly figure: Figure | null;
}

export interface WorkStep {
  readonly key: 'total' | 'idle' | 'stop' | 'springs' | 'verify';
  readonly title: string;
  readonly state: WorkState;
  readonly figures: readonly WorkFigure[];
  /** What to do, made of the figures; none while one of them is not seen. */
  readonly sentences: readonly string[];
  /** What to read or to say first. */
  readonly asks: readonly string[];
  /** To be shown where the act happens. */
  readonly cautions: readonly string[];
}

/** A number as the step's words have it, without its sign. */
export const said = (value: number, unit: FigureUnit): string => Math.abs(value).toFixed(PLACES[unit]);

/** The same of a measured figure, as it is shown. */
export const saidFigure = (figure: Figure, unit: FigureUnit): string =>
  said(shownFigure(figure, unit).value, unit);

/** A figure that is wanted or given, not measured. */
export const exactly = (value: number): Figure => ({ value, low: value, high: value });

/** b less a, each with its interval, as independent figures.
 * @source Zou and Donner 2008, Statistics in Medicine 27: interval of a difference from the two figures' own intervals
 * (from memory) */
export function difference(b: Figure, a: Figure): Figure {
  const value = b.value - a.value;
  return {
    value,
    low: value - Math.hypot(b.value - b.low, a.high - a.value),
    high: value + Math.hypot(b.high - b.value, a.value - a.low),
  };
}

/** A figure times a number. */
export function times({ value, low, high }: Figure, by: number): Figure {
  const ends = [low * by, high * by];
  return { value: value * by, low: Math.min(...ends), high: Math.max(...ends) };
}

/** Whether a measured figure shows what is wanted: its interval holds it, or lies inside the band about it. */
export const shows = ({ low, high }: Figure, wanted: number, band: number): boolean =>
  (low <= wanted && wanted <= high) || (low >= wanted - band && high <= wanted + band);
