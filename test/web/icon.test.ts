/** The icon drawn from the mark, read back by plain decoding. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { iconPng } from '../../build/icon';

const svg = readFileSync(join(import.meta.dirname, '../../web/icons/mark.svg'), 'utf8');

/** Colours of an RGB PNG whose rows are unfiltered, one IDAT [W3C PNG, sections 5.3 and 9; from memory]. */
function colourAt(png: Buffer, x: number, y: number): string {
  const widthPx = png.readUInt32BE(16);
  const at = png.indexOf('IDAT');
  const rows = inflateSync(png.subarray(at + 4, at + 4 + png.readUInt32BE(at - 4)));
  const from = y * (1 + 3 * widthPx) + 1 + 3 * x;
  return `#${rows.subarray(from, from + 3).toString('hex')}`;
}

test('the icon has the mark’s colours where its drawing has them', () => {
  const png = iconPng(svg, 320); // ten pixels to each unit of the drawing
  expect(colourAt(png, 5, 5)).toBe('#0c1433'); // ground
  expect(colourAt(png, 160, 50)).toBe('#ffb27a'); // the notch: a triangle from (9, 3) to (23, 3) and (16, 12)
  expect(colourAt(png, 95, 100)).toBe('#0c1433'); // beside the triangle, left of its slope
  expect(colourAt(png, 160, 270)).toBe('#f4f0e3'); // the long tick
  expect(colourAt(png, 60, 250)).toBe('#b9bfdb'); // a short tick
  expect(colourAt(png, 60, 275)).toBe('#0c1433'); // below it
});

test('a mark drawn smaller stands on the same ground, its middle in the middle', () => {
  const png = iconPng(svg, 320, 0.5);
  expect(colourAt(png, 160, 105)).toBe('#ffb27a'); // (16, 5) at half its distance from the middle
  expect(colourAt(png, 60, 250)).toBe('#0c1433');
});

test('the same drawing gives the same bytes', () => {
  expect(iconPng(svg, 48).equals(iconPng(svg, 48))).toBe(true);
});

test('a drawing with more in it than lines and a triangle is refused', () => {
  expect(() =>
    iconPng('<svg viewBox="0 0 8 8"><path d="M0 0c1 1 2 2 3 3" fill="#000000"/></svg>', 8),
  ).toThrow(RangeError);
  expect(() => iconPng('<svg viewBox="0 0 8 8"></svg>', 8)).toThrow(RangeError);
});
