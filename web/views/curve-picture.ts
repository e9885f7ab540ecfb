/** From the job and the run on show to the picture that the curve plot draws, and the sentence that says it. */
import type { EngineFacts } from '../../core/engine';
import type { Job, Run } from '../../core/job';
import { advanceOf } from '../../core/reading';
import { tens } from '../../core/shown-figure';
import { idleView } from '../../core/result';
import type { CurveFit } from '../../core/fit';
import { withZeroError } from '../../core/tdc/zero-error';
import { countText, rpmFigure } from '../format';
import { GRID_RPM } from '../plot/grid';
import {
  rangesOf,
  type Picture,
  type PictureCorner,
  type PictureCurve,
  type PictureReading,
} from '../plot/picture';

/** The fitted curve on an even grid with its corners in between; null where no curve is known. */
export function curveOf(fit: CurveFit | null, [low, high]: readonly [number, number]): PictureCurve | null {
  if (!fit || fit.shape === null) return null;
  const even = Array.from({ length: Math.floor((high - low) / GRID_RPM) + 1 }, (_, i) => low + i * GRID_RPM);
  const grid = [...even, ...fit.corners.map(({ rpm }) => rpm)].sort((x, y) => x - y);
  const points = grid.flatMap((rpm) => {
    const [advanceDeg, band] = [fit.predict(rpm), fit.band(rpm)];
    return advanceDeg === null || band === null ? [] : [{ rpm, advanceDeg, ...band }];
  });
  const column = (name: 'rpm' | 'advanceDeg' | 'low' | 'high') => points.map((point) => point[name]);
  return { rpm: column('rpm'), advanceDeg: column('advanceDeg'), low: column('low'), high: column('high') };
}

/** Corners with their names and figures: the start, the all-in, and bends between. */
export function cornersOf(fit: CurveFit | null): PictureCorner[] {
  return (fit?.corners ?? []).map((corner, i, { length }) => {
    const name = i === 0 && fit!.startRpm ? 'start' : i === length - 1 && fit!.allInRpm ? 'all-in' : 'bend';
    return { ...corner, name: `${name} ${rpmFigure(tens(corner.rpm))}` };
  });
}

/** The band holds how well the run's zero was proved.
 * @param fit of this run's readings as they stand, in their order; null before there is one */
export function pictureOf(job: Job | null, run: Run | null, fit: CurveFit | null): Picture {
  const slips = new Set(fit?.setAside);
  const readings = (run?.readings ?? []).map((reading, i): PictureReading => ({
    id: reading.id,
    rpm: reading.rpm,
    rpmSd: reading.rpmSd,
    advanceDeg: advanceOf(reading, run!.corrections),
    moved: reading.steady === false,
    slip: slips.has(i),
  }));
  const spanRpm = [job?.steps.startRpm, job?.steps.endRpm, job?.engine.idleRpm].filter((rpm) => rpm != null);
  const bare = { readings, curve: null, corners: cornersOf(fit), target: job?.target ?? null, spanRpm };
  const whole = fit && run ? withZeroError(fit, run.corrections) : fit;
  return { ...bare, curve: curveOf(whole, rangesOf(bare).rpm) };
}

/** The picture in a sentence or two, for those who do not see it. */
export function pictureWords({ readings, corners, target }: Picture): string {
  const [slips, moved] = [readings.filter(({ slip }) => slip), readings.filter((one) => one.moved)];
  const parts = [
    `Curve of ${countText(readings.length, 'reading')}`,
    slips.length ? `${slips.length} set aside as ${slips.length === 1 ? 'a slip' : 'slips'}` : '',
    moved.length ? `${moved.length} taken while the speed moved` : '',
    corners.length ? `corners: ${corners.map(({ name }) => `${name} rpm`).join(', ')}` : 'no corner seen yet',
    target ? `target with a band of ± ${target.bandDeg} degrees` : 'no target set',
  ];
  return `${parts.filter(Boolean).join('; ')}.`;
}

/** What is to be said of idle: where it lies above the start, or may do, so that its advance is not the initial; empty
 * where it rests below, or where that is not known. */
export function idleWords(fit: CurveFit | null, engine: Pick<EngineFacts, 'idleRpm'> | null): string {
  const view = fit && engine && idleView(fit, engine);
  return !view || view.isInitial !== false ? '' : view.text;
}
