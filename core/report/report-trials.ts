/** The trials before this one: a job and its run in; a short table, the latest first, out. */
import { type Figure, fitCurve } from '../fit';
import type { Job, Run } from '../job';
import { curvePoints } from '../reading';
import { withZeroError } from '../tdc/zero-error';
import { runsInOrder, setUpOf } from '../timeline';
import { tableOf, words } from './html';
import { clipped, restWords, ROOM } from './report-room';
import { number } from './report-words';

/** Long set-up names leave no room for figures. */
const NAME_CHARS = 40;
const MOST_KNOCKS = 3;

/** Runs with readings before the one that a run is compared with, the latest first. */
export function trialsBefore(job: Pick<Job, 'runs'>, run: Run): Run[] {
  const runs = runsInOrder(job);
  const place = runs.findIndex(({ id }) => id === run.id);
  return runs
    .slice(0, Math.max(0, place))
    .filter(({ readings }) => readings.length > 0)
    .reverse()
    .slice(1);
}

/** "34.1 (33.6 to 34.5)", its unit in the table's head. */
function bare(figure: Figure | null, places: number): string {
  if (!figure) return 'not seen';
  return `${number(figure.value, places)} (${number(figure.low, places)} to ${number(figure.high, places)})`;
}

function trialRow(job: Job, run: Run, moment: (iso: string) => string): string[] {
  const fit = withZeroError(fitCurve(curvePoints(run)), run.corrections);
  const speeds = run.knocks.slice(0, MOST_KNOCKS).map(({ rpm }) => number(rpm, 0));
  return [
    moment(run.startedAt),
    clipped(setUpOf(job, run)?.name ?? '', NAME_CHARS),
    bare(fit.initialDeg, 1),
    bare(fit.startRpm, 0),
    bare(fit.allInRpm, 0),
    bare(fit.totalDeg, 1),
    speeds.length === 0 ? '' : `knock, ${speeds.join(', ')} rpm`,
  ];
}

/** @returns nothing where no more than one run comes before */
export function trialsPart(job: Job, run: Run, moment: (iso: string) => string): string {
  const all = trialsBefore(job, run);
  if (all.length === 0) return '';
  const shown = all.slice(0, ROOM.trials);
  const rest = restWords(all.length - shown.length, 'earlier trial', 'earlier trials');
  const table = tableOf(
    ['run', 'set-up', 'initial °', 'start rpm', 'all-in rpm', 'total °', 'noted'],
    shown.map((one) => trialRow(job, one, moment)),
    { class: 'trials' },
  );
  return words('h2', 'Trials before those, the latest first') + table + (rest === '' ? '' : words('p', rest));
}
