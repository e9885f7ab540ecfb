/** The report: a job and one of its runs in; one page of HTML out, whole in itself, without scripts, to print or keep. */
import { compareRuns } from '../compare-runs';
import { curveSvg } from '../drawing/curve-svg';
import { type CurveFit, fitCurve } from '../fit';
import type { Job, Run } from '../job';
import { advanceOf, curvePoints } from '../reading';
import { withZeroError } from '../tdc/zero-error';
import { runsInOrder, setUpOf } from '../timeline';
import { orderOfWork } from '../work/order-of-work';
import { element, text, words } from './html';
import { REPORT_CAUTIONS } from './report-cautions';
import {
  changesPart,
  engineLine,
  figuresPart,
  logPart,
  readingsPart,
  setUpPart,
  workPart,
} from './report-parts';
import { type Density, densityFor } from './report-room';
import { REPORT_STYLE } from './report-style';
import { trialsPart } from './report-trials';
import { utcText } from './report-words';

export interface ReportOptions {
  /** The run to report; the latest with readings where it is not said. */
  readonly runId?: string | null;
  /** How a moment is written; in UTC where it is not said. */
  readonly moment?: (iso: string) => string;
  /** Whether its style stands in it: so it does where it is not said. Without, `REPORT_STYLE` is put in by whoever
   * prints it. */
  readonly hasStyle?: boolean;
}

const hasReadings = ({ readings }: Run): boolean => readings.length > 0;
const fitOf = (run: Run): CurveFit => fitCurve(curvePoints(run));

/** @throws RangeError if there is no run of that id */
function chosenRun(job: Job, runId: string | null): Run | null {
  const runs = runsInOrder(job);
  if (runId === null) return runs.findLast(hasReadings) ?? runs.at(-1) ?? null;
  const run = runs.find(({ id }) => id === runId);
  if (!run) throw new RangeError(`wanted the id of one of the job's runs, got "${runId}"`);
  return run;
}

/** The run with readings before this one; null where it is the first. */
export function runBefore(job: Pick<Job, 'runs'>, run: Run): Run | null {
  const runs = runsInOrder(job).filter(hasReadings);
  const place = runs.findIndex(({ id }) => id === run.id);
  return place > 0 ? runs[place - 1]! : null;
}

/** Writes the report.
 * @returns a whole HTML document; all that people wrote is escaped
 * @throws RangeError if there is no run of the id asked for */
export function reportHtml(
  job: Job,
  { runId = null, moment = utcText, hasStyle = true }: ReportOptions = {},
): string {
  const run = chosenRun(job, runId);
  const body = run
    ? runParts(job, run, moment)
    : [words('p', 'This job has no run yet: nothing was measured.')];
  const title = run ? `${job.name}, run of ${moment(run.startedAt)}` : job.name;
  const parts = [
    element('header', [
      words('h1', job.name),
      run ? words('p', `Run of ${moment(run.startedAt)}, ${run.source}`) : '',
      element('p', engineLine(job), { class: 'soft' }),
    ]),
    element('main', body),
    element('footer', [
      ...REPORT_CAUTIONS.map((said) => words('p', said, { class: 'caution' })),
      words('p', 'Made with Clampline from the readings of this job.', { class: 'soft' }),
    ]),
  ];
  return page(title, parts, hasStyle);
}

function runParts(job: Job, run: Run, moment: (iso: string) => string): string[] {
  const bare = hasReadings(run) ? fitOf(run) : null;
  const whole = bare && withZeroError(bare, run.corrections);
  const before = runBefore(job, run);
  const fitBefore = before && fitOf(before);
  const side = (of: Run, fit: CurveFit) => ({ points: curvePoints(of), fit, corrections: of.corrections });
  const compared = before && fitBefore && bare && compareRuns(side(before, fitBefore), side(run, bare));
  return [
    element(
      'div',
      [
        element('div', curvePart(job, run, whole, fitBefore)),
        element('div', [figuresPart(whole), setUpPart(setUpOf(job, run), run)]),
      ],
      { class: 'top' },
    ),
    element('div', [bare ? workPart(orderOfWork(job, run, bare)) : '']),
    sideBySide(compared ? changesPart(compared, moment(before.startedAt)) : '', logPart(job, run)),
    readingsPart(job, run, bare),
    trialsPart(job, run, moment),
  ];
}

/** Two parts beside each other, or the one that there is. */
const sideBySide = (left: string, right: string): string =>
  left === '' || right === ''
    ? left + right
    : element('div', [element('div', left), element('div', right)], { class: 'two' });

function curvePart(job: Job, run: Run, fit: CurveFit | null, before: CurveFit | null): string {
  const readings = run.readings.map((reading) => ({
    ...{ rpm: reading.rpm, rpmSd: reading.rpmSd, steady: reading.steady },
    advanceDeg: advanceOf(reading, run.corrections),
  }));
  const title = `Advance against speed, ${readings.length} readings`;
  const key = [
    'Line: the curve, its tint 95 % at each speed.',
    job.target ? 'Hatched: target and band.' : '',
    before ? 'Dotted: the run before.' : '',
    'Diamond: the speed moved. Struck through: set aside.',
  ];
  return (
    curveSvg({ title, subtitle: '', readings, fit, target: job.target, before }, true) +
    words('p', key.filter(Boolean).join(' '), { class: 'soft' })
  );
}

const page = (title: string, body: readonly string[], hasStyle: boolean): string => {
  const density: Density = densityFor(body[1]!);
  return [
    '<!doctype html>',
    '<html lang="en"><head><meta charset="utf-8">',
    // Whatever a note holds, nothing on this page runs or is fetched.
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${text(title)}</title>`,
    `${hasStyle ? `<style>${REPORT_STYLE}</style>` : ''}</head>`,
    element('body', body, density === 'usual' ? {} : { class: density }),
    '</html>\n',
  ].join('\n');
};
