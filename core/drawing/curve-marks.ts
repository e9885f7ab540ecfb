/** The marks on the drawing of a curve: target, curve, corners and readings, each as SVG text. */
import type { CurveFit } from '../fit';
import { tens } from '../shown-figure';
import type { Target } from '../job';
import { INK, plain, type CurveDrawing, type Frame } from './curve-frame';
import { escapeXml, pathThrough, tag, textAt } from './svg-parts';

/** Straight between its corners, level outside them. */
export function targetPart(target: Target | null, { x, y }: Frame): string {
  if (!target || target.corners.length === 0) return '';
  const corners = [...target.corners].sort((a, b) => a.rpm - b.rpm);
  const ends = [
    { ...corners[0]!, rpm: Math.min(x.from, corners[0]!.rpm) },
    ...corners,
    { ...corners.at(-1)!, rpm: Math.max(x.to, corners.at(-1)!.rpm) },
  ];
  const line = (shiftDeg: number): [number, number][] =>
    ends.map(({ rpm, advanceDeg }) => [x(rpm), y(advanceDeg + shiftDeg)]);
  const strip = [...line(target.bandDeg), ...line(-target.bandDeg).reverse()];
  return (
    tag('path', { d: `${pathThrough(strip)}Z`, fill: 'url(#hatch)', opacity: 0.35, class: 'target band' }) +
    tag('path', {
      d: pathThrough(line(0)),
      fill: 'none',
      stroke: INK.dye,
      'stroke-width': 1.5,
      'stroke-dasharray': '8 6',
      class: 'target',
    })
  );
}

const SAMPLES = 240;

/** Speeds across the drawing. */
const across = ({ x }: Frame): number[] =>
  Array.from({ length: SAMPLES + 1 }, (_, i) => x.from + ((x.to - x.from) * i) / SAMPLES);

/** Another run's curve: thin, dashed, without its band. */
export function beforePart(before: CurveFit | null, frame: Frame): string {
  const points = across(frame).flatMap((rpm): [number, number][] => {
    const deg = before?.predict(rpm) ?? null;
    return deg === null ? [] : [[frame.x(rpm), frame.y(deg)]];
  });
  const line = { fill: 'none', stroke: INK.soft, 'stroke-width': 1.75, 'stroke-dasharray': '3 5' };
  return points.length > 1 ? tag('path', { d: pathThrough(points), ...line, class: 'before' }) : '';
}

/** The curve where the readings show it, its 95 % band, its corners. */
export function fitPart(fit: CurveFit | null, frame: Frame): string {
  if (!fit) return '';
  const { x, y } = frame;
  const shown = across(frame).flatMap((rpm) => {
    const [deg, band] = [fit.predict(rpm), fit.band(rpm)];
    return deg === null ? [] : [{ at: x(rpm), deg, low: band?.low ?? deg, high: band?.high ?? deg }];
  });
  const up = shown.map(({ at, high }): [number, number] => [at, y(high)]);
  const down = shown.map(({ at, low }): [number, number] => [at, y(low)]).reverse();
  const curve = shown.map(({ at, deg }): [number, number] => [at, y(deg)]);
  const strip = pathThrough([...up, ...down]);
  return [
    strip && tag('path', { d: `${strip}Z`, fill: INK.band, opacity: 0.7, class: 'band' }),
    curve.length > 1 &&
      tag('path', {
        d: pathThrough(curve),
        fill: 'none',
        stroke: INK.scribe,
        'stroke-width': 2.5,
        class: 'curve',
      }),
    ...fit.corners.map((corner) => cornerPart(x(corner.rpm), y(corner.advanceDeg), corner)),
  ]
    .filter(Boolean)
    .join('');
}

const cornerPart = (atX: number, atY: number, { rpm, advanceDeg }: CurveFit['corners'][number]): string =>
  tag('path', {
    d: `M${atX.toFixed(1)} ${(atY - 18).toFixed(1)}v36`,
    stroke: INK.scribe,
    'stroke-width': 1.5,
  }) +
  textAt(atX + 6, atY + 30, `${tens(rpm)} rpm, ${plain(Number(advanceDeg.toFixed(1)))}°`, {
    'font-size': 13,
  });

/** Crosses; a diamond where the speed moved; struck through where set aside. */
export function readingsPart({ readings, fit }: CurveDrawing, { x, y }: Frame): string {
  return readings
    .map(({ rpm, rpmSd, advanceDeg, steady }, i) => {
      const struck = fit?.setAside.includes(i) ?? false;
      const shape = steady === false ? 'M0 -6L6 0L0 6L-6 0Z' : 'M-5 0H5M0 -5V5';
      const spread = rpmSd === null ? 0 : x(rpm + rpmSd) - x(rpm);
      return tag(
        'path',
        {
          d: `${shape}M${-spread.toFixed(1)} 0H${spread.toFixed(1)}${struck ? 'M-9 7L9 -7' : ''}`,
          transform: `translate(${x(rpm).toFixed(1)} ${y(advanceDeg).toFixed(1)})`,
          fill: 'none',
          stroke: INK.scribe,
          'stroke-width': 1.75,
          class: struck ? 'reading set-aside' : steady === false ? 'reading moved' : 'reading',
        },
        tag('title', {}, escapeXml(`${tens(rpm)} rpm, ${plain(Number(advanceDeg.toFixed(1)))}°`)),
      );
    })
    .join('');
}
