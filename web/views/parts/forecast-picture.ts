/** From a forecast to the picture that the curve plot draws, over the run it goes on from, and the sentence that says
 * it. */
import type { Job, Run } from '../../../core/job';
import { tens } from '../../../core/shown-figure';
import type { ForecastView, Ground } from '../../forecast/forecast-api';
import { degText, rpmFigure } from '../../format';
import type { Picture, PictureCorner, PictureCurve } from '../../plot/picture';
import { pictureOf } from '../curve-picture';

function curveOf({ curve }: ForecastView): PictureCurve {
  return {
    rpm: curve.map(({ rpm }) => rpm),
    advanceDeg: curve.map(({ advanceDeg }) => advanceDeg),
    low: curve.map(({ low }) => low),
    high: curve.map(({ high }) => high),
  };
}

/** The forecast's height at a speed, between its rows. */
function heightAt({ curve }: ForecastView, rpm: number): number {
  const after = curve.findIndex((row) => row.rpm >= rpm);
  if (after <= 0) return curve[after === 0 ? 0 : curve.length - 1]!.advanceDeg;
  const [a, b] = [curve[after - 1]!, curve[after]!];
  return a.advanceDeg + ((rpm - a.rpm) / (b.rpm - a.rpm)) * (b.advanceDeg - a.advanceDeg);
}

/** Corners of the forecast, where they are seen. */
function cornersOf(view: ForecastView): PictureCorner[] {
  const corners = [
    { name: 'start', figure: view.startRpm },
    { name: 'all-in', figure: view.allInRpm },
  ];
  return corners.flatMap(({ name, figure }) =>
    figure === null
      ? []
      : [
          {
            rpm: figure.value,
            advanceDeg: heightAt(view, figure.value),
            name: `${name} ${rpmFigure(tens(figure.value))}`,
          },
        ],
  );
}

/** @param view null: the measured curve alone, as a curve beside */
export function forecastPicture(
  job: Job,
  run: Run | null,
  ground: Ground | null,
  view: ForecastView | null,
): Picture {
  const bare = { ...pictureOf(job, run, null), beside: ground?.measured ?? [] };
  return view ? { ...bare, curve: curveOf(view), corners: cornersOf(view) } : bare;
}

/** The plot in a sentence, for those who do not see it. */
export function forecastPictureWords(view: ForecastView | null, job: Job): string {
  const target = job.target ? ` Target with a band of ± ${job.target.bandDeg} degrees.` : ' No target set.';
  if (!view) return `The measured curve; no forecast yet.${target}`;
  const said = [
    view.initialDeg && `initial ${degText(view.initialDeg.value)}`,
    view.startRpm && `start ${tens(view.startRpm.value)} rpm`,
    view.allInRpm && `all-in ${tens(view.allInRpm.value)} rpm`,
    view.totalDeg && `total ${degText(view.totalDeg.value)}`,
  ].filter(Boolean);
  return `Forecast with its band of 95 % at each speed over the measured curve: ${said.join(', ') || 'no corner seen'}.${target}`;
}
