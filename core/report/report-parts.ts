/** The report's parts: what was measured, fitted and advised in, HTML out. */
import { NORMAL_95 } from '../curve/student-t';
import type { RunsCompared } from '../compare-runs';
import type { CurveFit } from '../fit';
import type { Job, Run, SetUp } from '../job';
import { advanceOf } from '../reading';
import { targetAt, targetProblems } from '../target';
import type { OrderOfWork } from '../work/order-of-work';
import type { WorkStep } from '../work/work-step';
import { element, listOf, tableOf, text, words } from './html';
import { clipped, ROOM, runOn, shortList, thinned } from './report-room';
import { figureText, number, signed } from './report-words';

/** Names and their words, one under the other. */
const facts = (entries: readonly (readonly [string, string])[]): string =>
  element(
    'dl',
    entries
      .filter(([, said]) => said !== '')
      .map(([name, said]) => words('dt', name) + words('dd', clipped(said, ROOM.factChars))),
  );

export const figuresPart = (fit: CurveFit | null): string =>
  words('h2', 'Figures, 95 % intervals') +
  facts([
    ['Initial', figureText(fit?.initialDeg ?? null, 'deg')],
    ['Start', figureText(fit?.startRpm ?? null, 'rpm')],
    ['All-in', figureText(fit?.allInRpm ?? null, 'rpm')],
    ['Total', figureText(fit?.totalDeg ?? null, 'deg')],
    ['Range', figureText(fit?.rangeDeg ?? null, 'deg')],
    ['Scatter', fit?.residualSdDeg == null ? '' : `${number(fit.residualSdDeg, 1)}°`],
  ]);

export function setUpPart(setUp: SetUp | null, run: Run): string {
  const { tapeZeroErrorDeg, tapeZeroSdDeg, lightDelayUs } = run.corrections;
  const proved =
    tapeZeroSdDeg === null ? 'TDC not proved' : `good to ${number(NORMAL_95 * tapeZeroSdDeg, 1)}° either way`;
  return (
    words('h2', 'Set-up') +
    facts([
      ['Name', setUp?.name ?? 'not said'],
      ['Springs', setUp?.springs ?? ''],
      ['Stop', setUp?.stop ?? ''],
      ['Vacuum line', setUp?.vacuumLine ?? ''],
      ['Tape at true TDC', `${signed(tapeZeroErrorDeg, 1)}°, ${proved}`],
      ['Light’s delay', lightDelayUs === 0 ? '' : `${number(lightDelayUs, 0)} µs`],
      ['Weather', run.weather],
      ['Fuel', run.fuel],
    ]) +
    [setUp?.notes ?? '', run.notes]
      .map((note) => (note ? words('p', clipped(note, ROOM.noteChars), { class: 'notes' }) : ''))
      .join('')
  );
}

export function changesPart(compared: RunsCompared, since: string): string {
  const rows = compared.figures.map(({ name, unit, before, after, change }) => [
    name,
    figureText(before, unit),
    figureText(after, unit),
    figureText(change, unit, signed),
  ]);
  return (
    words('h2', `Since the run of ${since}`) +
    words('p', compared.text) +
    tableOf(['figure', 'then', 'now', 'change'], rows) +
    listOf(compared.notes)
  );
}

const STATES: Readonly<Record<WorkStep['state'], string>> = {
  done: 'Done',
  do: 'To do',
  'not seen': 'Not seen yet',
  blocked: 'Not advised',
};

const stepPart = ({ title, state, figures, sentences, asks, cautions }: WorkStep): string =>
  element('li', [
    words('span', `${STATES[state]}: ${title}. `, { class: 'state' }),
    words(
      'span',
      figures.map(({ name, figure, unit }) => `${name} ${figureText(figure, unit)}`).join(' · '),
      { class: 'soft' },
    ),
    ...[...sentences, ...asks].map((said) => words('p', said)),
    ...(state === 'do' || state === 'blocked'
      ? cautions.map((said) => words('p', said, { class: 'caution' }))
      : []),
  ]);

export function workPart(work: OrderOfWork | null): string {
  const head = words('h2', 'Order of work and advice');
  if (work === null) return head + words('p', 'No target is set, so there is nothing to aim at.');
  const warnings = [...work.warnings.map((each) => each.text), ...work.targetAbove];
  return (
    head +
    warnings.map((said) => words('p', said, { class: 'caution' })).join('') +
    element('ol', work.steps.map(stepPart), { class: 'work' })
  );
}

/** Characters that notes of readings may take. */
const NOTES_CHARS = 1450;
/** More readings than this stand in four columns. */
const MOST_IN_THREE = 24;

/** Readings in columns, by speed; their notes under them. */
export function readingsPart(job: Job, run: Run, fit: CurveFit | null): string {
  const target = job.target && targetProblems(job.target).length === 0 ? job.target : null;
  const rows = run.readings
    .map((reading, i) => ({ reading, advanceDeg: advanceOf(reading, run.corrections), i }))
    .toSorted((a, b) => a.reading.rpm - b.reading.rpm)
    .map(({ reading, advanceDeg, i }) => [
      number(reading.rpm, 0),
      number(advanceDeg, 1),
      ...(target ? [signed(advanceDeg - targetAt(target, reading.rpm), 1)] : []),
      [reading.steady === false ? 'moved' : '', fit?.setAside.includes(i) ? 'set aside' : '']
        .filter(Boolean)
        .join(', '),
    ]);
  const { rows: shown, every } = thinned(rows, ROOM.readings);
  const columnCount = shown.length > MOST_IN_THREE ? 4 : 3;
  const each = Math.max(1, Math.ceil(shown.length / columnCount));
  const columns = Array.from({ length: columnCount }, (_, k) => shown.slice(k * each, (k + 1) * each)).filter(
    (some) => some.length > 0,
  );
  const notes = run.readings.filter(({ note }) => note !== '');
  return (
    words('h2', `Readings (${run.readings.length}), corrections applied`) +
    element(
      'div',
      columns.map((some) => tableOf(['rpm', 'advance °', ...(target ? ['off target °'] : []), 'mark'], some)),
      { class: columnCount === 4 ? 'readings four' : 'readings' },
    ) +
    (every > 1 ? words('p', `One in ${every} of them by speed; all are in the job file.`) : '') +
    notesLine(notes.map(({ rpm, note }) => `${number(rpm, 0)} rpm: ${note}`))
  );
}

const notesLine = (notes: readonly string[]): string =>
  notes.length === 0 ? '' : words('p', runOn(notes, NOTES_CHARS, 'more note', 'more notes'));

/** Knock and what was logged about this run, the latest first. */
export function logPart(job: Job, run: Run): string {
  const knocks = run.knocks.map(
    ({ rpm, note }) => `Knock at ${number(rpm, 0)} rpm${note ? `: ${note}` : ''}`,
  );
  const entries = job.log
    .filter(({ runId }) => runId === run.id)
    .map((entry) => `${entry.kind}: ${entry.text}`);
  const all = shortList([...knocks, ...entries.reverse()], 'more entry', 'more entries');
  return all.length === 0 ? '' : words('h2', 'Log') + listOf(all);
}

/** One line on the engine. */
export function engineLine({ engine, limits }: Job): string {
  const { cylinders, strokes, idleRpm, rotorSense, damperDiameterMm } = engine;
  const parts = [
    `${cylinders} cylinder${cylinders === 1 ? '' : 's'}, ${strokes === 4 ? 'four-stroke' : 'two-stroke'}`,
    idleRpm === null ? '' : `idle ${number(idleRpm, 0)} rpm`,
    rotorSense === null ? '' : `rotor ${rotorSense} from above`,
    damperDiameterMm === null ? '' : `damper ${number(damperDiameterMm, 1)} mm`,
    limits.mostTotalDeg === null ? '' : `limit for the total ${number(limits.mostTotalDeg, 1)}°`,
    limits.mostIdleDeg === null ? '' : `limit at idle ${number(limits.mostIdleDeg, 1)}°`,
    limits.mostCruiseDeg === null ? '' : `limit at cruise ${number(limits.mostCruiseDeg, 1)}°`,
  ];
  return text(parts.filter(Boolean).join(' · '));
}
