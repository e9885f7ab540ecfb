/** A number as a person types it, to a number: comma or point, any minus sign, spaces, a unit behind it. */

export interface NumberWanted {
  /** What the field is, as the sentence begins: "Idle speed". */
  readonly what: string;
  /** The field's unit as shown, "rpm"; empty for a bare number. */
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  readonly whole?: boolean;
  /** Other units that may be typed, and how many of the field's unit one of them is. */
  readonly otherUnits?: Readonly<Record<string, number>>;
}

export type NumberTyped = { readonly value: number | null } | { readonly problem: string };

const SHAPE = /^([+-]?[\d., ]*[\d.,])\s*([^\d.,+-]*)$/;
const DECIMAL = /^[+-]?(\d+[.,]?\d*|[.,]\d+)$/;
/** Commas that may part thousands: "1,200" but not "1,20". */
const THOUSANDS = /^[+-]?\d{1,3}(,\d{3})+(\.\d*)?$/;

/** @returns the value in the field's unit, null for an empty field, or one sentence on what was wanted */
export function parseNumber(typed: string, wanted: NumberWanted): NumberTyped {
  const text = typed
    .trim()
    .replace(/[\u2212\u2012\u2013\uFE63\uFF0D]/g, '-')
    .replace(/[\u00A0\u2009\u202F]/g, ' ');
  if (text === '') return { value: null };
  const [, digits = '', unit = ''] = SHAPE.exec(text) ?? [];
  const factor = unitFactor(unit.trim(), wanted);
  const fits = waysToRead(digits.replace(/ /g, ''))
    .map((value) => value * (factor ?? NaN))
    .find((value) => isWanted(value, wanted));
  return fits === undefined ? { problem: problemText(typed.trim(), wanted) } : { value: fits };
}

/** "1,200" is 1.2 where a comma is the decimal sign and 1200 where it parts thousands: the field's range decides. */
function waysToRead(digits: string): number[] {
  const ways = [];
  if (DECIMAL.test(digits)) ways.push(Number(digits.replace(',', '.')));
  if (THOUSANDS.test(digits)) ways.push(Number(digits.replace(/,/g, '')));
  return ways;
}

function isWanted(value: number, { min, max, whole = false }: NumberWanted): boolean {
  return value >= min && value <= max && (!whole || Number.isInteger(value));
}

/** How many of the field's unit the typed one is; null for a unit that the field does not know. */
function unitFactor(unit: string, { unit: own, otherUnits = {} }: NumberWanted): number | null {
  const spelled = unit.toLowerCase();
  if (spelled === '' || spelled === own.toLowerCase()) return 1;
  const other = Object.entries(otherUnits).find(([name]) => name.toLowerCase() === spelled);
  return other ? other[1] : null;
}

const LONGEST_SHOWN = 40;
const shortened = (typed: string): string =>
  typed.length > LONGEST_SHOWN ? `${typed.slice(0, LONGEST_SHOWN)}…` : typed;

function problemText(typed: string, { what, unit, min, max, whole = false }: NumberWanted): string {
  const show = (value: number): string => String(value).replace('-', '\u2212');
  const kind = whole ? 'a whole number' : 'a number';
  const spaced = unit === '' || unit === '°' ? unit : ` ${unit}`;
  return `${what} wants ${kind} from ${show(min)} to ${show(max)}${spaced}; this says “${shortened(typed)}”.`;
}
