/** Numbers to text with their unit, for the screen. Null in, "not seen yet" out: a figure is never guessed. */

export const NOT_SEEN = 'not seen yet';
const MINUS = '\u2212';

/** @param places decimals, 0 to 6 @returns the number with a true minus sign and never "−0" */
export function numberText(value: number, places = 0): string {
  if (!Number.isFinite(value)) throw new RangeError(`a number to show must be finite, got ${value}`);
  const text = Math.abs(value).toFixed(places);
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

/** As numberText, with "+" before what is above zero: for a distance or a correction. */
export const signedText = (value: number, places = 0): string =>
  value > 0 && Number(value.toFixed(places)) !== 0
    ? `+${numberText(value, places)}`
    : numberText(value, places);

/** Engine speed without its unit: whole, or to tens where the standard deviation makes the last digit meaningless. */
export function rpmFigure(rpm: number, rpmSd: number | null = null): string {
  const step = rpmSd !== null && rpmSd >= 10 ? 10 : 1;
  return numberText(Math.round(rpm / step) * step);
}

export const rpmText = (rpm: number | null, rpmSd: number | null = null): string =>
  rpm === null ? NOT_SEEN : `${rpmFigure(rpm, rpmSd)} rpm`;

/** The spread of a speed, "± 12 rpm"; one decimal below 10. */
export const rpmSdText = (rpmSd: number | null): string =>
  rpmSd === null ? 'spread not known' : `± ${numberText(rpmSd, rpmSd < 10 ? 1 : 0)} rpm`;

/** Degrees with one decimal, "34.5°". */
export const degText = (deg: number | null, places = 1): string =>
  deg === null ? NOT_SEEN : `${numberText(deg, places)}°`;

/** A distance in degrees with its sign, "+2.5°". */
export const signedDegText = (deg: number, places = 1): string => `${signedText(deg, places)}°`;

/** The ends of an interval, "33.1 to 35.0". */
export const intervalText = (low: number, high: number, places = 1): string =>
  `${numberText(low, places)} to ${numberText(high, places)}`;

/** Share of full scale to decibels of full scale; null for no signal at all. */
export const dbOfFullScale = (share: number): number | null => (share > 0 ? 20 * Math.log10(share) : null);

/** Share of full scale as text, "−12.0 dB"; "silence" for none. */
export function levelText(share: number): string {
  const db = dbOfFullScale(share);
  return db === null ? 'silence' : `${numberText(db, 1)} dB`;
}

/** A share as a percentage: one decimal below 10 %. */
export const percentText = (share: number): string =>
  `${numberText(share * 100, share > 0 && share < 0.1 ? 1 : 0)} %`;

/** A rate of samples, "44.1 kHz". */
export const kilohertzText = (rateHz: number): string =>
  `${numberText(rateHz / 1000, rateHz % 1000 ? 1 : 0)} kHz`;

/** Seconds as "7.5 s" below a minute, "2 min 05 s" from there on. */
export function durationText(seconds: number): string {
  if (seconds < 60) return `${numberText(seconds, seconds < 10 ? 1 : 0)} s`;
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, '0')} s`;
}

/** "1 reading", "12 readings". */
export const countText = (count: number, one: string, many = `${one}s`): string =>
  `${count} ${count === 1 ? one : many}`;

/** The day of a moment in the reader's own time zone, "25 Nov 2026". */
export const dayText = (iso: string): string =>
  new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium' }).format(new Date(iso));

/** A moment in the reader's own time zone, "25 Nov 2026, 14:05". */
export const momentText = (iso: string): string =>
  new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(iso));
