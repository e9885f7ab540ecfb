/** A job of many evenings, for what has to find room: so many runs of so many readings, words wherever words may stand.
 * A scenario of our own. */
import { BY_LIGHT, newJob, NO_PARTS, NOTHING_NOTED } from '../../core/new-job';
import type { Job, LogEntry, Reading, Run, SetUp } from '../../core/job';

const day = (i: number): string => `2026-04-${String(1 + i).padStart(2, '0')}T18:00:00Z`;

/** Level, ramp, level with a small regular wobble; each run is all in a little sooner than the one before. */
function readingsOf(run: number, count: number): Reading[] {
  return Array.from({ length: count }, (_, i) => {
    const rpm = Math.round(600 + (3200 * i) / (count - 1));
    const risen = Math.min(1, Math.max(0, (rpm - 1000) / (2200 - 60 * (run % 10))));
    return {
      ...{ id: `${run}-${i}`, at: day(run), timeS: null, rpm, rpmSd: 8, steady: i % 5 !== 3, stepRpm: null },
      ...{ seenDeg: 12 + 21 * risen + [0.2, -0.3, 0.1, -0.1][i % 4]!, ...BY_LIGHT },
      note: i % 3 === 0 ? 'the mark wandered a little, read twice' : '',
    };
  });
}

const setUpOf = (i: number): SetUp => ({
  ...{
    id: `s${i}`,
    name: `Trial ${i + 1}: lighter first spring`,
    springs: 'One light, one heavy with slack',
  },
  ...{ stop: 'Brass bush, 11° at the distributor', ...NO_PARTS, vacuumLine: 'plugged' },
  notes: 'Weights cleaned, pins oiled, play in the shaft taken out with a shim.',
});

const entry = (kind: LogEntry['kind'], run: number, i: number): LogEntry => ({
  ...{ id: `l${run}-${i}`, at: day(run), kind, runId: `r${run}` },
  text: 'Pulls well from low down, a light tinkle on the long hill in top gear, gone with half a degree less.',
});

/** @param runCount 1 or more @param readings of each run, 2 or more */
export function busyJob(runCount: number, readings: number): Job {
  const job = newJob({ id: 'busy', name: 'Six evenings with the stand engine', createdAt: day(0) });
  const corrections = { tapeZeroErrorDeg: 1.5, tapeZeroSdDeg: 0.35, lightDelayUs: 40 };
  const runs = Array.from({ length: runCount }, (_, i): Run => ({
    ...{ id: `r${i}`, setUpId: `s${i}`, startedAt: day(i), source: 'line input', corrections, trace: null },
    ...{ ...NOTHING_NOTED, readings: readingsOf(i, readings), weather: 'dry, 17 °C, 1012 hPa', fuel: '98' },
    knocks: [{ id: `k${i}`, at: day(i), rpm: 2600 + 10 * i, note: 'light, under load, third gear' }],
    notes: 'Engine warm, vacuum line plugged, second person at the throttle, idle a little uneven.',
  }));
  return {
    ...{ ...job, corrections, runs, setUps: runs.map((_, i) => setUpOf(i)) },
    engine: {
      ...{ ...job.engine, rotorSense: 'clockwise', idleRpm: 800 },
      ...{ damperDiameterMm: 203.2, housingDiameterMm: 90 },
    },
    limits: { mostTotalDeg: 34, mostIdleDeg: 14, mostCruiseDeg: 48 },
    target: {
      corners: [
        { rpm: 900, advanceDeg: 13 },
        { rpm: 2600, advanceDeg: 35 },
      ],
      bandDeg: 1.5,
    },
    log: runs.flatMap((_, i) => [entry('road', i, 0), entry('work', i, 1)]),
    notes: 'Prove top dead centre again once the damper is off.',
  };
}
