/** The curve drawn for paper: where its marks stand, and that no name can break it. */
import { expect, test } from 'vitest';
import { fitCurve } from '../../core/fit';
import type { CurveDrawing } from '../../core/drawing/curve-frame';
import { curveSvg } from '../../core/drawing/curve-svg';
import { escapeXml, roundTicks } from '../../core/drawing/svg-parts';

const at = (rpm: number, advanceDeg: number, steady: boolean | null = true) => ({
  rpm,
  advanceDeg,
  steady,
  rpmSd: null,
});
const drawing = (more: Partial<CurveDrawing>): CurveDrawing => ({
  ...{ title: 'Bench engine', subtitle: '', readings: [], fit: null, target: null },
  ...more,
});
const count = (text: string, part: string | RegExp): number => text.split(part).length - 1;

// Hand arithmetic: the axis from 500 to 3500 rpm is 890 wide from 80 on, that from 0 to 35 degrees 444 high up from 540.
test('readings stand where their speed and advance say', () => {
  const svg = curveSvg(drawing({ readings: [at(1000, 10), at(3000, 30)] }));
  expect(svg).toContain('translate(228.3 413.1)');
  expect(svg).toContain('translate(821.7 159.4)');
  for (const tick of ['>500<', '>3500<', '>0<', '>35<']) expect(svg).toContain(tick);
  expect(svg).toContain('engine speed, rpm');
  expect(svg).toContain('advance, crank degrees before TDC');
});

test('a target is a hatched strip about a dashed line, level outside its corners', () => {
  const corners = [
    { rpm: 2500, advanceDeg: 30 },
    { rpm: 1000, advanceDeg: 10 },
  ];
  const svg = curveSvg(drawing({ readings: [at(600, 10)], target: { corners, bandDeg: 2 } }));
  // axis 500 to 3000 rpm, 0 to 35 degrees (hand arithmetic): 1000 rpm at 258, 2500 at 792; 10 deg at 413.1, 30 at 159.4
  expect(svg).toContain('d="M80.0 413.1L258.0 413.1L792.0 159.4L970.0 159.4"');
  expect(svg).toContain('url(#hatch)');
  expect(svg).toContain('stroke-dasharray');
});

/** Level 12 to 1200 rpm, up to 32 at 2200, level: a curve chosen for the test. */
const made = Array.from({ length: 24 }, (_, i) => {
  const rpm = 700 + 100 * i;
  return at(rpm, 12 + 20 * Math.min(1, Math.max(0, (rpm - 1200) / 1000)) + (i % 2 ? 0.3 : -0.3), i !== 3);
});

test('the curve has its tint, a witness line and figures for each corner, and the corners in words', () => {
  const svg = curveSvg(drawing({ readings: made, fit: fitCurve(made) }));
  expect(count(svg, 'class="curve"')).toBe(1);
  expect(count(svg, 'class="band"')).toBe(1);
  expect(count(svg, /class="reading[ "]/)).toBe(24);
  expect(count(svg, 'class="reading moved"')).toBe(1);
  expect(svg).toMatch(/>Start<[^]*>1[12]\d\d rpm \(\d+ to \d+\)</);
  expect(svg).toMatch(/>Total<[^]*>3[12]\.?\d?° \(/);
});

test('a reading set aside is struck through; figures that are not seen say so', () => {
  const slip = made.map((reading, i) => (i === 10 ? { ...reading, advanceDeg: 45 } : reading));
  const fit = fitCurve(slip);
  expect(fit.setAside).toEqual([10]);
  expect(count(curveSvg(drawing({ readings: slip, fit })), 'set-aside')).toBe(1);
  const few = made.slice(0, 2);
  expect(curveSvg(drawing({ readings: few, fit: fitCurve(few) }))).toContain('not seen yet');
});

test('a run without readings gives axes and no curve', () => {
  const svg = curveSvg(drawing({}));
  expect(svg).toContain('engine speed, rpm');
  expect(svg).not.toContain('class="curve"');
  expect(svg).not.toContain('NaN');
});

test('a name with marks, quotes and forbidden signs stays text', () => {
  const svg = curveSvg(drawing({ title: `<script>alert("1")</script> & 'q' \u0000\uFFFE\uD800` }));
  expect(svg).not.toContain('<script');
  expect(svg).toContain('&#60;script&#62;alert(&#34;1&#34;)&#60;/script&#62; &#38; &#39;q&#39; ');
  // XML 1.0, section 2.2: the signs that a document may hold (from memory)
  expect(svg).toMatch(/^[\t\n\r\u0020-\uD7FF\uE000-\uFFFD]*$/);
});

test('signs beyond the basic plane are kept', () => {
  expect(escapeXml('V8 \u{1F527}')).toBe('V8 \u{1F527}');
});

// Hand arithmetic: steps of 1, 2 or 5 times a power of ten, ends widened to whole steps
test.each([
  [0, 100, 5, [0, 20, 40, 60, 80, 100]],
  [-3, 31, 8, [-5, 0, 5, 10, 15, 20, 25, 30, 35]],
  [900, 3100, 9, [500, 1000, 1500, 2000, 2500, 3000, 3500]],
  [7, 7, 4, [7, 7.5]],
  [0, 0.3, 3, [0, 0.1, 0.2, 0.3]],
])('ticks from %d to %d in about %d pieces are round', (low, high, pieces, ticks) => {
  expect(roundTicks(low, high, pieces)).toEqual(ticks);
});

test('ticks of no stretch at all are refused', () => {
  expect(() => roundTicks(2, 1, 5)).toThrow(RangeError);
  expect(() => roundTicks(0, Infinity, 5)).toThrow(RangeError);
});
