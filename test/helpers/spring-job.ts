/** A job with springs, stops and runs of one distributor that is simulated part by part: which springs and which stop
 * each run had in, the job and the truth of any combination out. */
import { newJob } from '../../core/new-job';
import type { Job, Reading, Run, SetUp, Spring } from '../../core/job';
import {
  asFound,
  simulatedDistributor,
  takenReadings,
  trueAdvance,
  type SimulatedDistributor,
} from './simulated-mechanism';

/** Forces of each set of springs as shares of those the distributor was made with. */
export const FORCES = { light: 0.7, middle: 1, heavy: 1.4, unknown: 1.2 } as const;
export type SpringName = keyof typeof FORCES;
export const RANGES_DEG = { short: 14, usual: 18, long: 22 } as const;
export type StopName = keyof typeof RANGES_DEG;

const AT = '2026-05-01T18:00:00Z';
const GRAVITY = 9.80665;

const fitted = (d: SimulatedDistributor, spring: SpringName, stop: StopName): SimulatedDistributor => {
  const stiffer = (coil: SimulatedDistributor['first']): SimulatedDistributor['first'] => ({
    ...coil,
    rateNPerMm: coil.rateNPerMm * FORCES[spring],
  });
  return {
    ...d,
    first: stiffer(d.first),
    second: d.second && stiffer(d.second),
    rangeDeg: RANGES_DEG[stop],
  };
};

/** Each hung with 500 g: 0.5 N/mm times its share. The unknown one was never hung. */
function springs(): Spring[] {
  return (Object.keys(FORCES) as SpringName[]).map((name) => ({
    id: name,
    name: `Springs ${name}`,
    hung: name === 'unknown' ? null : { massG: 500, stretchMm: (0.5 * GRAVITY) / (0.5 * FORCES[name]) },
    coil: null,
    notes: '',
  }));
}

const reading = (id: string, { rpm, advanceDeg }: { rpm: number; advanceDeg: number }): Reading => ({
  ...{ id, at: AT, by: 'light', scatterDeg: null, sparks: null, sweep: null, timeS: null, rpm, rpmSd: null },
  ...{ seenDeg: advanceDeg, steady: null, stepRpm: null, note: '' },
});

export interface SpringJob {
  readonly job: Job;
  /** Crank degrees beyond the initial. */
  readonly rise: (spring: SpringName, stop: StopName, rpm: number) => number;
}

/** @param runs springs and stop of each, in their order */
export function springJob(seed: number, runs: readonly (readonly [SpringName, StopName])[]): SpringJob {
  const d = simulatedDistributor(seed, { second: 'never' });
  const base = newJob({ id: 'springs', name: 'Bench engine', createdAt: AT });
  const setUps = runs.map(([spring, stop], i): SetUp => ({
    ...{ id: `set-up-${i}`, name: `${spring}, ${stop}`, springs: spring, stop, notes: '' },
    ...{ firstSpringId: spring, secondSpringId: spring, stopId: stop, vacuumLine: 'plugged' },
  }));
  const made = runs.map(([spring, stop], i): Run => ({
    ...{ id: `run-${i}`, setUpId: `set-up-${i}`, startedAt: `2026-05-0${i + 1}T18:00:00Z` },
    ...{
      source: 'typed by hand',
      corrections: base.corrections,
      trace: null,
      weather: '',
      fuel: '',
      notes: '',
    },
    ...{ vacuumReadings: [], dwellReadings: [], knocks: [] },
    readings: takenReadings(fitted(d, spring, stop), seed + 100 * i, { count: 16 }).map((taken, k) =>
      reading(`${i}-${k}`, taken),
    ),
  }));
  const stops = (Object.keys(RANGES_DEG) as StopName[]).map((id) => ({
    ...{ id, name: `Stop ${id}`, rangeDeg: id === 'short' ? null : RANGES_DEG[id], notes: '' },
  }));
  return {
    job: { ...base, parts: { springs: springs(), stops }, setUps, runs: made },
    rise: (spring, stop, rpm) => {
      const changed = fitted(d, spring, stop);
      return trueAdvance(changed, asFound(changed), rpm);
    },
  };
}
