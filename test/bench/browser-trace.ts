/** Reads what Chromium traced of its own threads: the tasks of the page's main thread, by the clock and by the processor.
 * On a machine with other work the clock tells of that work too. */

interface TraceEvent {
  readonly name: string;
  readonly cat: string;
  readonly pid: number;
  readonly tid: number;
  /** Microseconds by the clock, and of processor. */
  readonly dur?: number;
  readonly tdur?: number;
  readonly args: { readonly name?: string };
}

export interface TaskTimes {
  readonly wallMs: readonly number[];
  readonly cpuMs: readonly number[];
}

/** @param trace of the category "toplevel", as Chromium writes it
 *  @throws Error if the trace names no main thread or no task of it: then nothing was measured */
export function mainThreadTasks(trace: Buffer): TaskTimes {
  const { traceEvents } = JSON.parse(trace.toString()) as { traceEvents: TraceEvent[] };
  const mains = new Set(
    traceEvents
      .filter(({ name, args }) => name === 'thread_name' && args.name === 'CrRendererMain')
      .map(({ pid, tid }) => `${pid} ${tid}`),
  );
  const tasks = traceEvents.filter(
    ({ name, pid, tid }) => name.endsWith('RunTask') && mains.has(`${pid} ${tid}`),
  );
  if (!tasks.some(({ tdur }) => tdur)) throw new Error('the trace has no timed task of a main thread');
  return {
    wallMs: tasks.map(({ dur }) => (dur ?? 0) / 1000),
    cpuMs: tasks.map(({ tdur }) => (tdur ?? 0) / 1000),
  };
}
