/** What happened to an engine, in the order of time: a job in; its runs, knocks, proofs and log entries as one list
 * out, the latest first. Says nothing about what it meant. */
import type { Job, Knock, LogEntry, Run, SetUp, TdcProof } from './job';

export type TimelineEvent = { readonly id: string; readonly at: string } & (
  | { readonly kind: 'run'; readonly run: Run; readonly setUp: SetUp | null; readonly changed: string[] }
  | { readonly kind: 'knock'; readonly run: Run; readonly knock: Knock }
  | { readonly kind: 'proof'; readonly proof: TdcProof }
  | { readonly kind: 'entry'; readonly entry: LogEntry; readonly run: Run | null }
);

type Told = Pick<Job, 'runs' | 'setUps' | 'log' | 'tdcProofs'>;

/** Earlier first; what was at the same moment keeps its order. */
export const inOrder = <T>(items: readonly T[], at: (item: T) => string): T[] =>
  items.toSorted((a, b) => Date.parse(at(a)) - Date.parse(at(b)));

/** The runs of a job, the earliest first. */
export const runsInOrder = ({ runs }: Pick<Job, 'runs'>): Run[] => inOrder(runs, (run) => run.startedAt);

/** The set-up of a run; null where it was not said. */
export const setUpOf = ({ setUps }: Pick<Job, 'setUps'>, run: Pick<Run, 'setUpId'>): SetUp | null =>
  setUps.find(({ id }) => id === run.setUpId) ?? null;

/** What is fitted now that was not before, in words; empty where nothing is known to differ. */
export function fittedSince(before: SetUp | null, now: SetUp | null): string[] {
  if (!now || before?.id === now.id) return [];
  const said = [
    ['springs', before?.springs, now.springs],
    ['stop', before?.stop, now.stop],
    ['vacuum line', before?.vacuumLine, now.vacuumLine],
  ] as const;
  return said
    .filter(([, was, is]) => is !== '' && was !== is)
    .map(([what, was, is]) => (was ? `${what}: ${is}, was ${was}` : `${what}: ${is}`));
}

/** Everything that has a moment, the latest first. */
export function timeline(job: Told): TimelineEvent[] {
  const runs = runsInOrder(job);
  const events = [
    ...runs.flatMap((run, i) => runEvents(job, run, runs[i - 1] ?? null)),
    ...job.tdcProofs.map((proof): TimelineEvent => ({ id: proof.id, at: proof.at, kind: 'proof', proof })),
    ...job.log.map((entry): TimelineEvent => {
      const run = job.runs.find(({ id }) => id === entry.runId) ?? null;
      return { id: entry.id, at: entry.at, kind: 'entry', entry, run };
    }),
  ];
  return inOrder(events, ({ at }) => at).reverse();
}

function runEvents(job: Told, run: Run, before: Run | null): TimelineEvent[] {
  const setUp = setUpOf(job, run);
  const changed = fittedSince(before && setUpOf(job, before), setUp);
  return [
    { id: run.id, at: run.startedAt, kind: 'run', run, setUp, changed },
    ...run.knocks.map((knock): TimelineEvent => ({ id: knock.id, at: knock.at, kind: 'knock', run, knock })),
  ];
}
