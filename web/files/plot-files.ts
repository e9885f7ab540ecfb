/** The curve of a run as a picture file: job, run and fit in, SVG or PNG out. */
import { fitCurve } from '../../core/fit';
import type { Job, Run } from '../../core/job';
import { advanceOf } from '../../core/reading';
import { withZeroError } from '../../core/tdc/zero-error';
import { HEIGHT, WIDTH } from '../../core/drawing/curve-frame';
import { curveSvg } from '../../core/drawing/curve-svg';
import { pngOf } from './png';

export const PLOT_TYPES = { svg: 'image/svg+xml', png: 'image/png' } as const;

/** The drawing's text, the fit made anew from the readings. */
export function runSvg(job: Job, run: Run): string {
  const readings = run.readings.map((reading) => ({
    rpm: reading.rpm,
    rpmSd: reading.rpmSd,
    advanceDeg: advanceOf(reading, run.corrections),
    steady: reading.steady,
  }));
  const setUp = job.setUps.find(({ id }) => id === run.setUpId);
  const day = new Date(run.startedAt).toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });
  return curveSvg({
    title: job.name,
    subtitle: [day, setUp?.name, `${readings.length} readings`].filter(Boolean).join(' · '),
    readings,
    fit: readings.length > 0 ? withZeroError(fitCurve(readings), run.corrections) : null,
    target: job.target,
  });
}

/** @param step called between its parts, 0 to 1; throws where it is to stop */
export async function plotFile(
  job: Job,
  run: Run,
  as: 'svg' | 'png',
  step: (share: number) => Promise<void>,
): Promise<Blob> {
  await step(0);
  const svg = runSvg(job, run);
  await step(0.5);
  return as === 'png' ? pngOf(svg, WIDTH, HEIGHT) : new Blob([svg], { type: PLOT_TYPES.svg });
}
