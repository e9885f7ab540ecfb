import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const CSS = readFileSync(join(import.meta.dirname, '../../web/style/tokens.css'), 'utf8');

/** The colours of one theme's block. */
function colours(selector: string): Record<string, string> {
  const from = CSS.indexOf(`${selector} {`);
  const block = CSS.slice(from, CSS.indexOf('}', from));
  return Object.fromEntries(
    [...block.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map(([, name, hex]) => [name!, hex!]),
  );
}

/** Contrast ratio of two colours. Source: WCAG 2.2, definitions of relative luminance and contrast ratio (w3.org/TR/WCAG22). */
function contrast(one: string, other: string): number {
  const luminance = (hex: string): number => {
    const [r, g, b] = [1, 3, 5]
      .map((at) => parseInt(hex.slice(at, at + 2), 16) / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  };
  const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (light! + 0.05) / (dark! + 0.05);
}

// Known pairs: black on white is 21, and #777777 on white is 4.48 (the WCAG working group's own often quoted edge case).
test('the contrast sum gives the known ratios', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
});

const THEMES = { sun: colours(':root'), night: colours(":root[data-theme='night']") };
const INKS = ['scribe', 'scribe-soft', 'dye', 'strike'];
const GROUNDS = ['plate', 'plate-raised'];
const pairs = Object.keys(THEMES).flatMap((theme) =>
  INKS.flatMap((ink) => GROUNDS.map((ground) => ({ theme: theme as keyof typeof THEMES, ink, ground }))),
);

test('both themes name every colour', () => {
  for (const theme of Object.values(THEMES))
    expect(Object.keys(theme)).toEqual([
      'plate',
      'plate-raised',
      'scribe',
      'scribe-soft',
      'dye',
      'on-dye',
      'band',
      'strike',
    ]);
});

test.each(pairs)('$ink on $ground in $theme keeps 7:1', ({ theme, ink, ground }) =>
  expect(contrast(THEMES[theme][ink]!, THEMES[theme][ground]!)).toBeGreaterThanOrEqual(7),
);

test.each(['sun', 'night'] as const)('words on a chosen plate keep 7:1 in %s', (theme) =>
  expect(contrast(THEMES[theme]['on-dye']!, THEMES[theme]['dye']!)).toBeGreaterThanOrEqual(7),
);

test.each(['sun', 'night'] as const)('figures over the band keep 7:1 in %s', (theme) =>
  expect(contrast(THEMES[theme]['scribe']!, THEMES[theme]['band']!)).toBeGreaterThanOrEqual(7),
);
