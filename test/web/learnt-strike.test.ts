/** The learnt strike drawn: places and words by hand arithmetic. */
import { expect, test } from 'vitest';
import { goodStrike } from '../../web/views/sound/good-strike';
import { roundStep } from '../../core/drawing/svg-parts';
import { strikeDrawing, strikeWords } from '../../web/views/sound/learnt-strike';

const pointsOf = (path: string): number[][] =>
  path
    .replace(/^M|Z$/g, '')
    .split('L')
    .map((point) => point.split(' ').map(Number));

test('steps of a scale are 1, 2 or 5 times a power of ten', () => {
  expect([roundStep(0.9, 4), roundStep(0.4, 4), roundStep(0.013, 4)]).toEqual([0.5, 0.1, 0.005]);
});

test('the peak stands as high as the scale says, other leads and noise in proportion', () => {
  const heard = goodStrike();
  const drawn = strikeDrawing(heard, 560, 216);
  const [low, high] = [drawn.sizeTicks[0]!, drawn.sizeTicks.at(-1)!];
  const shareOf = (text: string): number => Number(text.replace('−', '-').replace(' %', '')) / 100;
  const pxPerShare = (low.atPx - high.atPx) / (shareOf(high.text) - shareOf(low.text));
  const peakPx = Math.min(...pointsOf(drawn.line).map(([, y]) => y!));
  expect((drawn.zeroPx - peakPx) / pxPerShare).toBeCloseTo(0.4, 2); // as made: 40 % of full scale
  expect((drawn.zeroPx - drawn.neighboursPx[0]!) / pxPerShare).toBeCloseTo(0.04, 3); // a tenth of it
  expect(drawn.noisePx! / pxPerShare).toBeCloseTo(0.004, 4); // 40 dB below: a hundredth
  // two standard deviations: 2 · 0.4 · √(0.08² + 0.015²) = 0.0651
  const topPx = Math.min(...pointsOf(drawn.band).map(([, y]) => y!));
  expect((peakPx - topPx) / pxPerShare).toBeCloseTo(0.0651, 2);
  expect(drawn.timeTicks.filter(({ text }) => text).map(({ text }) => text)).toEqual([
    '0',
    '200 µs',
    '400 µs',
  ]);
});

test('where no other lead and no noise is known none is drawn', () => {
  const { strike, figures } = goodStrike();
  const drawn = strikeDrawing(
    { strike, figures: { ...figures, neighbourShare: null, overNoiseDb: null } },
    300,
    200,
  );
  expect([drawn.neighboursPx, drawn.noisePx]).toEqual([[], null]);
});

test('the words carry the figures of the drawing', () => {
  expect(strikeWords(goodStrike())).toMatch(
    /^The strike reaches 40 % of full scale and is over after \d+ µs\. Single strikes differ by 8\.0 %; other leads reach 4\.0 %, the noise 0\.4 % of full scale\.$/,
  );
});
