/** From the job and the run on show to the picture that the curve plot draws, and the sentence that says it. */
import type { Job, Run, StepList } from '../../core/job';
import type { CurveFit } from '../../core/fit';
import { countText, rpmFigure } from '../format';
import {
  rangesOf,
  type Picture,
  type PictureCorner,
  type PictureCurve,
  type PictureReading,
} from '../plot/picture';

/** The speeds of a step list, rising. */
export function stepSpeeds({ startRpm, endRpm, spacingRpm }: StepList): number[] {
  if (!(spacingRpm > 0)) return [];
  const count = Math.floor((endRpm - startRpm) / spacingRpm + 1e-9) + 1;
  return Array.from({ length: Math.max(0, count) }, (_, i) => startRpm + i * spacingRpm);
}

const TDC_DEG_PER_RPM_S = 6; // 360 degrees in 60 s
/** The advance of a reading, corrections applied. */
export const advanceOf = (
  { rpm, seenDeg }: { rpm: number; seenDeg: number },
  { tapeZeroErrorDeg, lightDelayUs }: Run['corrections'],
): number => seenDeg - tapeZeroErrorDeg + TDC_DEG_PER_RPM_S * rpm * lightDelayUs * 1e-6;
/** What the tape shows at an advance: the corrections undone. */
export const seenOf = (advanceDeg: number, rpm: number, corrections: Run['corrections']): number =>
  advanceDeg - advanceOf({ rpm, seenDeg: 0 }, corrections);

const GRID_RPM = 20;

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
    return { ...corner, name: `${name} ${rpmFigure(Math.round(corner.rpm / 10) * 10)}` };
  });
}

/** @param fit of this run, its points in the order of the readings; null before there is one */
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
  return { ...bare, curve: curveOf(fit, rangesOf(bare).rpm) };
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

/** Said where the idle speed lies above the start of the advance; empty where it does not or where that is not known. */
export function idleWords(fit: CurveFit | null, idleRpm: number | null): string {
  if (!fit?.startRpm || idleRpm === null || idleRpm <= fit.startRpm.value) return '';
  return `Idle (${rpmFigure(idleRpm)} rpm) lies above the start: the advance at idle is not the initial. Read slower, or pin the weights.`;
}
