/** SVG elements as text, lengths in millimetres to a ten-thousandth. Black on white: for paper. */

type Attributes = Readonly<Record<string, string | number>>;

/** Text as XML may hold it. */
export const escaped = (text: string): string =>
  text.replace(/[&<>"']/g, (mark) => `&#${mark.charCodeAt(0)};`);

/** To a tenth of a micrometre, without idle zeros. */
export const mm = (value: number): string => String(Number(value.toFixed(4)));

const written = (attributes: Attributes): string =>
  Object.entries(attributes)
    .map(([name, value]) => ` ${name}="${typeof value === 'number' ? mm(value) : escaped(value)}"`)
    .join('');

/** A straight line of a given thickness. */
export const lineOf = (
  [x1, y1]: readonly [number, number],
  [x2, y2]: readonly [number, number],
  widthMm: number,
  more: Attributes = {},
): string => `<line${written({ x1, y1, x2, y2, stroke: '#000', 'stroke-width': widthMm, ...more })}/>`;

/** Words at a point, `sizeMm` high from one line to the next. */
export const wordsAt = (x: number, y: number, sizeMm: number, text: string, more: Attributes = {}): string =>
  `<text${written({ x, y, 'font-size': sizeMm, ...more })}>${escaped(text)}</text>`;

/** A whole drawing, its size on paper in millimetres the same as its units. A browser prints it on a page of its size.
 * @param insideSvg made by this module: not escaped again */
export const drawingOf = (widthMm: number, heightMm: number, title: string, insideSvg: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${mm(widthMm)}mm" height="${mm(heightMm)}mm" ` +
  `viewBox="0 0 ${mm(widthMm)} ${mm(heightMm)}" font-family="sans-serif" text-anchor="middle">` +
  `<title>${escaped(title)}</title>` +
  `<rect width="${mm(widthMm)}" height="${mm(heightMm)}" fill="#fff"/>${insideSvg}</svg>`;
