/** Small parts of a drawing as SVG text: elements with escaped attributes and text, scales, round ticks. */

type Attributes = Readonly<Record<string, string | number>>;

/** Text as XML may hold it: marks escaped, signs that XML forbids left out. */
export const escapeXml = (text: string): string =>
  text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '')
    .replace(/[&<>"']/g, (mark) => `&#${mark.charCodeAt(0)};`);

/** One element. @param inside made by this module: not escaped again */
export function tag(name: string, attributes: Attributes, inside = ''): string {
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${attribute(value)}"`);
  return inside ? `<${name}${written.join('')}>${inside}</${name}>` : `<${name}${written.join('')}/>`;
}

const attribute = (value: string | number): string =>
  typeof value === 'number' ? String(Math.round(value * 100) / 100) : escapeXml(value);

/** A line of text at a point. */
export const textAt = (x: number, y: number, text: string, more: Attributes = {}): string =>
  tag('text', { x, y, ...more }, escapeXml(text));

/** A path through points, in drawing units; empty for fewer than two. */
export const pathThrough = (points: readonly (readonly [number, number])[]): string =>
  points.length < 2
    ? ''
    : points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');

export interface Scale {
  (value: number): number;
  readonly from: number;
  readonly to: number;
}

/** A straight scale from values to drawing units. */
export function scale(from: number, to: number, at: number, end: number): Scale {
  const place = (value: number): number => at + ((value - from) / (to - from)) * (end - at);
  return Object.assign(place, { from, to });
}

/** A round step that parts a span into so many pieces at the most.
 * @param span above 0
 * @source 1, 2, 5 times a power of ten: common practice */
export function roundStep(span: number, pieces: number): number {
  const power = 10 ** Math.floor(Math.log10(span / pieces));
  return power * [1, 2, 5, 10].find((each) => span / (each * power) <= pieces)!;
}

/** Round values that part a stretch into about so many pieces, its ends widened to be round as well.
 * @throws RangeError if low is above high or either is not finite */
export function roundTicks(low: number, high: number, pieces: number): number[] {
  if (!(low <= high && Number.isFinite(high - low)))
    throw new RangeError(`a rising finite stretch was wanted, got ${low} to ${high}`);
  const wide = high > low ? high - low : 1;
  const step = roundStep(wide, pieces);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(high / step - 1e-9));
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}
