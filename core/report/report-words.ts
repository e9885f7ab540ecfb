/** Numbers and moments as the report writes them. */
import type { Figure } from '../fit';
import { type FigureUnit, PLACES, shownFigure } from '../shown-figure';

export const NOT_SEEN = 'not seen yet';
const UNITS: Readonly<Record<FigureUnit, string>> = { deg: '°', rpm: ' rpm', mm: ' mm', times: '' };

/** A number with a true minus sign, never "−0". */
export function number(value: number, places: number): string {
  const size = Math.abs(value).toFixed(places);
  return value < 0 && Number(size) !== 0 ? `\u2212${size}` : size;
}

/** A number with its sign also where it is above zero. */
export const signed = (value: number, places: number): string =>
  value > 0 && Number(value.toFixed(places)) !== 0 ? `+${number(value, places)}` : number(value, places);

/** "34.1° (33.6 to 34.5)"; without an interval where it has no width. */
export function figureText(figure: Figure | null, unit: FigureUnit, write = number): string {
  if (!figure) return NOT_SEEN;
  const places = PLACES[unit];
  const { value, low, high } = shownFigure(figure, unit);
  const text = `${write(value, places)}${UNITS[unit]}`;
  return low === high ? text : `${text} (${write(low, places)} to ${write(high, places)})`;
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** "14 Oct 2026, 17:05 UTC", whatever the machine's own time. */
export function utcText(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${at.getUTCDate()} ${MONTHS[at.getUTCMonth()]} ${at.getUTCFullYear()}`;
  return `${day}, ${two(at.getUTCHours())}:${two(at.getUTCMinutes())} UTC`;
}
