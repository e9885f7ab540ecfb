/** Forecasts of a job as its thread gives them. The truth is written down: advance straight in the square of the speed,
 * and the scaling law, all spring forces times q bring every speed on the ramp to its root. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { Job, OwnedParts, SetUp } from '../../core/job';
import { BY_LIGHT, newJob, NOTHING_NOTED } from '../../core/new-job';
import { ForecastBench } from '../../web/forecast/forecast-bench';
import { madeRun } from '../helpers/made-runs';

/** Under the same mass the thin spring stretches 1.44 times as far as the thick: q is 1.44, its root 1.2. */
const Q = 1.44;
const PARTS: OwnedParts = {
  springs: [
    { id: 'thin', name: 'Thin', hung: { massG: 1000, stretchMm: 14.4 }, coil: null, notes: '' },
    { id: 'thick', name: 'Thick', hung: { massG: 1000, stretchMm: 10 }, coil: null, notes: '' },
    { id: 'odd', name: 'Odd', hung: null, coil: null, notes: '' },
  ],
  stops: [
    { id: 'long', name: 'Long', rangeDeg: 20, notes: '' },
    { id: 'short', name: 'Short', rangeDeg: 14, notes: '' },
    { id: 'filed', name: 'Filed', rangeDeg: null, notes: '' },
  ],
};
/** From 1000 rpm on at 2.5 degrees for each krpm², springs q times as strong. */
const truth = (rpm: number, q: number, rangeDeg: number, totalDeg = 32): number =>
  totalDeg - rangeDeg + Math.min(rangeDeg, Math.max(0, ((rpm / 1000) ** 2 / q - 1) / 0.4));

const setUp = (id: string, spring: string, stopId: string): SetUp => ({
  ...{ id, name: id, springs: '', stop: '', vacuumLine: 'plugged', notes: '' },
  ...{ firstSpringId: spring, secondSpringId: spring, stopId },
});
const SET_UPS = [setUp('s-thin', 'thin', 'long'), setUp('s-thick', 'thick', 'long')];

function runOf(setUpId: string, day: number, curve: (rpm: number) => number): Job['runs'][number] {
  const at = `2026-05-0${day}T18:00:00Z`;
  const taken = { at, timeS: null, rpmSd: null, steady: null, stepRpm: null, note: '', ...BY_LIGHT };
  const points = madeRun(curve, { seed: day, count: 18, sdDeg: 0.5 });
  return {
    ...{ id: `run-${day}`, setUpId, startedAt: at, source: 'typed by hand', trace: null, ...NOTHING_NOTED },
    corrections: { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 },
    readings: points.map(({ rpm, advanceDeg }, i) => ({
      id: `${day}-${i}`,
      rpm,
      seenDeg: advanceDeg,
      ...taken,
    })),
  };
}
const EMPTY = newJob({ id: 'j', name: 'Bench', createdAt: '2026-05-01T18:00:00Z' });
const THIN_RUN = runOf('s-thin', 1, (rpm) => truth(rpm, 1, 20));
/** What thick springs with the short stop give: none else comes as near. */
const TARGET = {
  corners: [800, 1100, 1200, 1600, 2000, 2400, 2800, 3050, 3200].map((rpm) => ({
    rpm,
    advanceDeg: truth(rpm, Q, 14),
  })),
  bandDeg: 2,
};
const JOB: Job = { ...EMPTY, parts: PARTS, setUps: SET_UPS, target: TARGET, runs: [THIN_RUN] };

describe('one run with the thin springs and the long stop', () => {
  const bench = new ForecastBench();
  beforeAll(() => void bench.open(JOB));

  test('the ground names the run, what was fitted, and what it measured', () => {
    const ground = bench.open(JOB);
    expect(ground).toMatchObject({ problem: null, runIds: ['run-1'] });
    expect(ground.fitted).toEqual({ firstId: 'thin', secondId: 'thin', stopId: 'long' });
    for (const [rpm, deg] of ground.measured) expect(Math.abs(deg - truth(rpm, 1, 20))).toBeLessThan(1);
  });

  test('springs known by their rate are forecast within the band, and said to be', () => {
    const view = bench.forecast({ firstId: 'thick', secondId: 'thick', stopId: 'short' }, 'total');
    for (const { rpm, low, high } of view.curve) {
      expect(low).toBeLessThanOrEqual(truth(rpm, Q, 14) + 0.3); // the total itself is known to some 0.3 degrees
      expect(high).toBeGreaterThanOrEqual(truth(rpm, Q, 14) - 0.3);
    }
    expect(view.rangeDeg!.value).toBeCloseTo(14, 6);
    // the thin ones start at 1000 rpm, the thick ones at its 1.2-fold
    expect(view.startRpm!.low).toBeLessThan(1200);
    expect(view.startRpm!.high).toBeGreaterThan(1200);
    expect(view.restsOn[0]).toContain('1.44 times that of Thin');
  });

  test('the search ranks every combination that can be forecast, the true one first, with its reason', () => {
    let found = bench.search();
    expect(found).toMatchObject({ done: 0, ranked: [] });
    while (found.done < found.all) found = bench.searchOn();
    expect(found.ranked[0]!.pick).toEqual({ firstId: 'thick', secondId: 'thick', stopId: 'short' });
    expect(found.ranked[0]!.text).toMatch(/inside the band|perhaps|may lie inside/);
    expect(found.ranked.length).toBeGreaterThanOrEqual(4);
    expect(found.ranked.filter(({ measured }) => measured).map(({ pick }) => pick.stopId)).toEqual(['long']);
    expect(found.unknown.join(' ')).toMatch(/Odd.*Filed/);
    const { all } = found;
    expect(bench.searchOn().done).toBe(all); // past the end nothing more is found
  });

  test('a limit that the total would break is said', () => {
    bench.open({ ...JOB, limits: { ...JOB.limits, mostTotalDeg: 30 } });
    const view = bench.forecast({ firstId: 'thin', secondId: 'thin', stopId: 'long' }, 'total');
    expect(view.overLimits.join(' ')).toContain('above your limit of 30.0');
    bench.open(JOB);
    expect(bench.forecast(view.pick, 'total').overLimits).toEqual([]);
  });

  test('every answer can cross to the page: plain data alone', () => {
    const view = bench.forecast({ firstId: 'thin', secondId: 'thin', stopId: 'short' }, 'initial');
    for (const answer of [bench.open(JOB), view, bench.search(), bench.searchOn(), bench.wantedPart()])
      expect(structuredClone(answer)).toEqual(answer);
  });

  test('parts that cannot be forecast are refused with what would make them known', () => {
    expect(() => bench.forecast({ firstId: 'odd', secondId: 'odd', stopId: 'long' }, 'total')).toThrow(
      /hang a known mass/,
    );
    expect(() => bench.forecast({ firstId: 'thin', secondId: 'thin', stopId: 'filed' }, 'total')).toThrow(
      /key in the degrees/,
    );
  });
});

test('without a run there is no forecast but a sentence on what to do', () => {
  const bench = new ForecastBench();
  const ground = bench.open({ ...JOB, runs: [] });
  expect(ground.problem).toMatch(/name the springs and the stop/);
  expect(() => bench.search()).toThrow(ground.problem!);
});

test('nothing can be asked before a job is open, nor a search gone on with before it is begun', () => {
  const bench = new ForecastBench();
  expect(() => bench.forecast({ firstId: 'thin', secondId: 'thin', stopId: 'long' }, 'total')).toThrow(
    RangeError,
  );
  bench.open({ ...JOB, runs: [] });
  expect(() => bench.searchOn()).toThrow('no search is begun');
});

test('a later run with the thick springs is set beside its forecast, and agrees', () => {
  const later = runOf('s-thick', 2, (rpm) => truth(rpm, Q, 20, 34)); // the housing was moved by 2 degrees
  const { rows, text } = new ForecastBench().record({ ...JOB, runs: [THIN_RUN, later] });
  expect(rows.map(({ runId, fromRunId }) => [runId, fromRunId])).toEqual([['run-2', 'run-1']]);
  expect(rows[0]!.agreeingShare).toBeGreaterThan(0.9);
  expect(rows[0]!.meanOffDeg).toBeLessThan(1.5);
  expect(text).toMatch(/^One forecast so far/);
  expect(structuredClone(rows)).toEqual(rows);
});
