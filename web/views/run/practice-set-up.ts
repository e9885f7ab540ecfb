/** What is fitted to the practice engine, as a set-up of the job: found among its set-ups, or put there with the bench's
 * parts. */
import type { SetUp } from '../../../core/job';
import { withParts } from '../../../core/owned-parts';
import { PRACTICE_PARTS, practiceFitted } from '../../../core/practice/practice-parts';
import type { JobState, PracticeControls } from '../../state/contracts';

/** Stands for the practice engine's set-up where one is chosen: it is put into the job once a run starts. */
export const ON_THE_BENCH = 'on the bench';

export const practiceSetUp = ({
  springsId,
  stopId,
}: Pick<PracticeControls, 'springsId' | 'stopId'>): Omit<SetUp, 'id'> => ({
  ...practiceFitted(springsId, stopId),
  vacuumLine: 'none',
  notes: '',
});

/** @returns the id of the job's set-up with these parts, a new one where there was none */
export function benchSetUp(
  desk: Pick<JobState, 'job' | 'change' | 'addSetUp'>,
  wanted: Omit<SetUp, 'id'>,
): string | null {
  if (!desk.job) return null;
  const found = desk.job.setUps.find(
    ({ firstSpringId, secondSpringId, stopId, vacuumLine }) =>
      firstSpringId === wanted.firstSpringId &&
      secondSpringId === wanted.secondSpringId &&
      stopId === wanted.stopId &&
      vacuumLine === wanted.vacuumLine,
  );
  desk.change({ parts: withParts(desk.job.parts, PRACTICE_PARTS) });
  return found?.id ?? desk.addSetUp(wanted);
}

const ofTheBench = (setUp: SetUp | null): boolean =>
  PRACTICE_PARTS.stops.some(({ id }) => id === setUp?.stopId) && setUp?.vacuumLine === 'none';

/** Keeps the open run's set-up in step with the bench while the run has no reading. Once it has one, other parts belong
 * to another run. */
export function followBench(
  desk: Pick<JobState, 'job' | 'run' | 'change' | 'addSetUp' | 'changeRun'>,
  practice: Pick<PracticeControls, 'springsId' | 'stopId'>,
): void {
  const { run, job } = desk;
  if (!job || run?.source !== 'practice engine' || run.readings.length > 0) return;
  const named = job.setUps.find(({ id }) => id === run.setUpId) ?? null;
  const wanted = practiceSetUp(practice);
  if (
    !ofTheBench(named) ||
    (named!.firstSpringId === wanted.firstSpringId && named!.stopId === wanted.stopId)
  )
    return;
  desk.changeRun(run.id, { setUpId: benchSetUp(desk, wanted) });
}
