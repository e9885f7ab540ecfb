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

const SHAPE = /^([+-]?)(\d[\d ]*(?:[.,]\d*)?|[.,]\d+)\s*([^\d.,+-]*)$/;
/** A comma that may part thousands: "1,200" but not "1,20". */
const THOUSANDS = /^\d{1,3}(,\d{3})+(\.\d+)?$/;

/** @returns the value in the field's unit, null for an empty field, or one sentence on what was wanted */
export function parseNumber(typed: string, wanted: NumberWanted): NumberTyped {
  const text = typed
    .trim()
    .replace(/[\u2212\u2012\u2013\uFE63\uFF0D]/g, '-')
    .replace(/[\u00A0\u2009\u202F]/g, ' ');
  if (text === '') return { value: null };
  const sentence = (): NumberTyped => ({ problem: problemText(typed.trim(), wanted) });
  const grouped = THOUSANDS.test(text.replace(/^[+-]/, '').replace(/\s*[^\d.,]*$/, ''));
  const [, sign, digits, unit] =
    SHAPE.exec(grouped && /\..*$/.test(text) ? text.replace(/,/g, '') : text) ?? [];
  const factor = unit === undefined ? null : unitFactor(unit.trim(), wanted);
  if (digits === undefined || factor === null) {
    return grouped ? readPlain(text.replace(/,/g, ''), wanted, sentence) : sentence();
  }
  const plain = digits.replace(/ /g, '');
  const asDecimal = check(Number(sign + plain.replace(',', '.')) * factor, wanted);
  const asThousands = grouped ? check(Number(sign + plain.replace(/,/g, '')) * factor, wanted) : null;
  const value = asDecimal ?? asThousands;
  return value === null ? sentence() : { value };
}

/** "12,345,678": no decimal comma can be meant. */
function readPlain(text: string, wanted: NumberWanted, sentence: () => NumberTyped): NumberTyped {
  const [, sign, digits, unit] = SHAPE.exec(text) ?? [];
  const factor = unit === undefined ? null : unitFactor(unit.trim(), wanted);
  if (digits === undefined || factor === null) return sentence();
  const value = check(Number(sign + digits.replace(/ /g, '')) * factor, wanted);
  return value === null ? sentence() : { value };
}

function check(value: number, { min, max, whole }: NumberWanted): number | null {
  if (!Number.isFinite(value) || value < min || value > max) return null;
  return whole && !Number.isInteger(value) ? null : value;
}

function unitFactor(unit: string, { unit: own, otherUnits = {} }: NumberWanted): number | null {
  const spelled = unit.toLowerCase();
  if (spelled === '' || spelled === own.toLowerCase()) return 1;
  const other = Object.entries(otherUnits).find(([name]) => name.toLowerCase() === spelled);
  return other ? other[1] : null;
}

function problemText(typed: string, { what, unit, min, max, whole }: NumberWanted): string {
  const show = (value: number): string => String(value).replace('-', '\u2212');
  const kind = whole ? 'a whole number' : 'a number';
  const spaced = unit === '' ? '' : unit === '°' ? '°' : ` ${unit}`;
  return `${what} wants ${kind} from ${show(min)} to ${show(max)}${spaced}; this says “${typed}”.`;
}
