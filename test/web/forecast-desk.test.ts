/** Forecasts as the page asks for them: one at a time, stopped, cut off, overtaken by another job. The thread is made. */
import { expect, test } from 'vitest';
import type { Remote } from 'comlink';
import { newJob } from '../../core/new-job';
import type {
  ForecastApi,
  ForecastView,
  Ground,
  PartsPick,
  SearchView,
} from '../../web/forecast/forecast-api';
import type { ForecastThread } from '../../web/forecast/connect';
import { ForecastDesk, forecastJob, forecastKey } from '../../web/forecast/forecast-desk.svelte';
import { madeJob } from '../helpers/made-jobs';

const PICK: PartsPick = { firstId: 'a', secondId: 'a', stopId: 's' };
const known = { name: '', known: 'run', text: '' } as const;
const GROUND: Ground = {
  problem: null,
  runIds: ['r'],
  springs: [{ ...known, firstId: 'a', secondId: 'a', choice: {} as never }],
  stops: [{ ...known, id: 's', choice: { rangeDeg: 20 } }],
  fitted: PICK,
  measured: [],
};
const JOB = newJob({ id: 'j', name: 'Bench', createdAt: '2026-05-01T18:00:00Z' });

/** A thread that answers at once; what is held is never answered. */
function madeThreads(held: readonly (keyof ForecastApi)[] = [], ground = GROUND) {
  const asked: string[] = [];
  const holding = new Set(held);
  const crash: (() => void)[] = [];
  let [done, closed] = [0, 0];
  const answer = <T>(what: keyof ForecastApi, value: T): Promise<T> => {
    asked.push(what);
    return holding.has(what) ? new Promise<T>(() => undefined) : Promise.resolve(value);
  };
  const found = (): SearchView => ({ done, all: 3, ranked: [], unknown: [] });
  const api = {
    open: () => answer('open', ground),
    forecast: (pick: PartsPick, as: string) => answer('forecast', { pick, held: as } as ForecastView),
    search: () => answer('search', ((done = 0), found())),
    searchOn: () => answer('searchOn', ((done += 1), found())),
    wantedPart: () => answer('wantedPart', 'None of the parts will do.'),
    record: () => answer('record', { rows: [], text: null }),
  } as unknown as Remote<ForecastApi>;
  const start = (onCrash: () => void): ForecastThread => {
    crash.push(onCrash);
    return { api, close: () => (closed += 1) };
  };
  return { start, asked, holding, crash, closed: () => closed };
}
const settle = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));

test('a job is opened once, and again only when something that forecasts stand on has changed', async () => {
  const threads = madeThreads();
  const desk = new ForecastDesk(threads.start);
  await desk.follow(JOB);
  await desk.follow({ ...JOB, notes: 'warm', name: 'Other' });
  expect(threads.asked).toEqual(['open']);
  await desk.follow({ ...JOB, limits: { ...JOB.limits, mostTotalDeg: 36 } });
  expect(threads.asked).toEqual(['open', 'open']);
  expect(desk.ground).toEqual(GROUND);
  expect(desk.working).toBeNull();
});

test('of choices made in a row only the last is worked out', async () => {
  const threads = madeThreads();
  const desk = new ForecastDesk(threads.start);
  void desk.follow(JOB);
  void desk.choose(PICK, 'total');
  await desk.choose(PICK, 'initial');
  expect(threads.asked).toEqual(['open', 'forecast']);
  expect(desk.forecast?.held).toBe('initial');
});

test('parts that cannot be forecast leave none on show', async () => {
  const desk = new ForecastDesk(madeThreads().start);
  await desk.follow(JOB);
  await desk.choose(PICK, 'total');
  await desk.choose({ ...PICK, stopId: 'other' }, 'total');
  expect([desk.forecast, desk.problem]).toEqual([null, null]);
});

test('a search goes through all springs and ends with the part that would do', async () => {
  const threads = madeThreads();
  const desk = new ForecastDesk(threads.start);
  await desk.follow(JOB);
  await desk.look();
  expect(desk.search).toMatchObject({ done: 3, all: 3 });
  expect(desk.wantedPart).toBe('None of the parts will do.');
});

test('a search that is stopped keeps what it found, lets its thread go, and can be begun again', async () => {
  const threads = madeThreads(['searchOn']);
  const desk = new ForecastDesk(threads.start);
  await desk.follow(JOB);
  const looking = desk.look();
  await settle();
  expect(desk.working).toBe('search');
  desk.stop();
  await looking;
  expect([desk.working, desk.problem, threads.closed()]).toEqual([null, null, 1]);
  expect(desk.search).toMatchObject({ done: 0, all: 3 });
  threads.holding.clear();
  await desk.look();
  expect(threads.asked.filter((what) => what === 'open')).toHaveLength(2); // the new thread knows no job
  expect(desk.search?.done).toBe(3);
});

test('a thread that breaks down is said in a sentence, and the next question starts another', async () => {
  const threads = madeThreads(['forecast']);
  const desk = new ForecastDesk(threads.start);
  await desk.follow(JOB);
  const choosing = desk.choose(PICK, 'total');
  await settle();
  threads.crash[0]!();
  await choosing;
  expect(desk.problem).toBe('The forecast stopped: its thread broke down. Ask again.');
  threads.holding.clear();
  await desk.choose(PICK, 'total');
  expect(desk.problem).toBeNull();
  expect(desk.forecast?.pick).toEqual(PICK);
});

test('another job takes the place of one whose runs are still being worked out', async () => {
  const threads = madeThreads(['open']);
  const desk = new ForecastDesk(threads.start);
  void desk.follow(JOB);
  await settle();
  threads.holding.clear();
  await desk.follow({ ...JOB, parts: { springs: [], stops: [] }, engine: { ...JOB.engine, idleRpm: 800 } });
  expect(desk.ground).toEqual(GROUND);
});

test('where the runs carry nothing, nothing more is asked; the record stands by itself', async () => {
  const threads = madeThreads([], { ...GROUND, problem: 'No run shows a rising curve yet.' });
  const desk = new ForecastDesk(threads.start);
  await desk.follow(JOB);
  await desk.choose(PICK, 'total');
  await desk.look();
  await desk.lookBack();
  expect(threads.asked).toEqual(['open', 'record']);
  expect(desk.record).toEqual({ rows: [], text: null });
});

test('traces stay behind, and do not count', () => {
  const job = madeJob();
  expect(job.runs.some(({ trace }) => trace !== null)).toBe(true);
  expect(forecastJob(job).runs.every(({ trace }) => trace === null)).toBe(true);
  expect(forecastKey(forecastJob(job))).toBe(forecastKey(job));
});
