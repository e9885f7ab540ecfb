/** What is typed on the pad: one key at a time in, the text and its number out. Knows no screen. */

export type PadKey = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | '-' | '.' | 'delete';

/** What is being asked for. */
export interface Asked {
  readonly what: 'degrees' | 'speed';
  readonly least: number;
  readonly most: number;
  /** Digits after the point. */
  readonly places: number;
}
export const DEGREES: Asked = { what: 'degrees', least: -30, most: 80, places: 1 };
export const SPEED: Asked = { what: 'speed', least: 150, most: 12_000, places: 0 };

/** The text after one more key. A key that cannot belong there changes nothing; minus turns the sign. */
export function pressed(text: string, key: PadKey, asked: Asked): string {
  if (key === 'delete') return text.slice(0, -1);
  if (key === '-') return asked.least >= 0 ? text : text.startsWith('-') ? text.slice(1) : `-${text}`;
  if (key === '.') return asked.places && !text.includes('.') ? `${text}.` : text;
  const next = `${text}${key}`;
  const [whole = '', part = ''] = next.replace('-', '').split('.');
  if (part.length > asked.places || whole.length > String(asked.most).length) return text;
  return next.replace(/^(-?)0+(?=\d)/, '$1');
}

/** The number typed; null while the text is none or lies outside what can be. */
export function entered(text: string, asked: Asked): number | null {
  if (!/\d/.test(text)) return null;
  const value = Number(text);
  return value >= asked.least && value <= asked.most ? value : null;
}

/** One sentence on what is wrong with the text; empty while nothing is. A number still being typed is not wrong. */
export function complaint(text: string, asked: Asked): string {
  if (!/\d/.test(text) || entered(text, asked) !== null) return '';
  if (asked.what === 'speed' && Number(text) < asked.least) return '';
  const unit = asked.what === 'speed' ? ' rpm' : '°';
  return `${asked.what === 'speed' ? 'A speed' : 'Advance'} must lie between ${asked.least} and ${asked.most}${unit}.`;
}
