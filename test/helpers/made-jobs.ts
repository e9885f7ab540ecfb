/** Jobs for tests: one of our own scenario, and any number of random ones within the limits. */
import fc from 'fast-check';
import type { EngineFacts } from '../../core/engine';
import type { Job } from '../../core/job';
import { newJob } from '../../core/new-job';

/** A job with a set-up, a run, readings and a trace. */
export function madeJob(): Job {
  return {
    ...newJob({ id: 'job-1', name: 'Bench engine', createdAt: '2026-05-01T18:00:00Z' }),
    target: {
      corners: [
        { rpm: 900, advanceDeg: 12 },
        { rpm: 2800, advanceDeg: 34 },
      ],
      bandDeg: 1.5,
    },
    setUps: [
      { id: 's1', name: 'As found', springs: 'two plain', stop: '10', vacuumLine: 'plugged', notes: '' },
    ],
    runs: [
      {
        id: 'r1',
        setUpId: 's1',
        startedAt: '2026-05-01T18:10:00.250Z',
        source: 'line input',
        corrections: { tapeZeroErrorDeg: -0.5, lightDelayUs: 40 },
        readings: [
          {
            id: 'a',
            at: '2026-05-01T18:11:00Z',
            timeS: 60.5,
            rpm: 902.5,
            rpmSd: 3.1,
            seenDeg: 12,
            steady: true,
            stepRpm: 900,
            note: 'first, "cold"',
          },
          {
            id: 'b',
            at: '2026-05-01T18:12:00Z',
            timeS: null,
            rpm: 3000,
            rpmSd: null,
            seenDeg: 34,
            steady: null,
            stepRpm: null,
            note: '',
          },
        ],
        trace: { timeS: [0, 0.5, 1], rpm: [900, null, 905.25], rpmSd: [4, null, 3.5] },
        notes: 'évening 漢',
      },
    ],
  };
}

const text = (maxLength: number, minLength = 0): fc.Arbitrary<string> =>
  fc.string({ unit: 'binary', minLength, maxLength: Math.max(minLength, Math.min(maxLength, 12)) });
const number = (min: number, max: number): fc.Arbitrary<number> =>
  fc.oneof(fc.integer({ min: Math.ceil(min), max: Math.floor(max) }), fc.double({ min, max, noNaN: true }));
const orNull = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(arbitrary, { nil: null });
const id = fc.uuid();
const instant = fc
  .date({ min: new Date('2000-01-01'), max: new Date('2100-01-01'), noInvalidDate: true })
  .map((date) => date.toISOString());
const rpm = number(0, 30_000);
const deg = number(-360, 360);
const corrections = fc.record({ tapeZeroErrorDeg: deg, lightDelayUs: number(-1e6, 1e6) });
const engine: fc.Arbitrary<EngineFacts> = fc.record({
  strokes: fc.constantFrom(2, 4),
  cylinders: fc.integer({ min: 1, max: 24 }),
  pickup: fc.constantFrom('plug', 'wasted', 'coil', 'sensor'),
  rotorSense: fc.constantFrom('clockwise', 'anticlockwise', null),
  idleRpm: orNull(rpm),
  damperDiameterMm: orNull(number(0.1, 2000)),
  housingDiameterMm: orNull(number(0.1, 2000)),
  traits: fc.record({
    compression: fc.constantFrom('low', 'usual', 'high', null),
    camDuration: fc.constantFrom('short', 'usual', 'long', null),
    weight: fc.constantFrom('heavy', 'usual', 'light', null),
    gearing: fc.constantFrom('long', 'usual', 'short', null),
    converter: fc.constantFrom('tight', 'usual', 'loose', 'manual', null),
  }),
});
const unlike = <T extends { readonly id: string }>(one: fc.Arbitrary<T>): fc.Arbitrary<T[]> =>
  fc.uniqueArray(one, { selector: (entry) => entry.id, maxLength: 3 });
const reading = fc.record({
  id,
  at: instant,
  timeS: orNull(number(0, 1e7)),
  rpm,
  rpmSd: orNull(rpm),
  seenDeg: deg,
  steady: orNull(fc.boolean()),
  stepRpm: orNull(rpm),
  note: text(20_000),
});
const trace = fc.array(fc.tuple(number(0, 1e7), orNull(rpm), orNull(rpm)), { maxLength: 4 }).map((rows) => ({
  timeS: rows.map((row) => row[0]),
  rpm: rows.map((row) => row[1]),
  rpmSd: rows.map((row) => row[2]),
}));
const run = fc.record({
  id,
  setUpId: orNull(id),
  startedAt: instant,
  source: fc.constantFrom('line input', 'recording', 'practice engine', 'typed by hand'),
  corrections,
  readings: unlike(reading),
  trace: orNull(trace),
  notes: text(20_000),
});

/** Any job within the limits. */
export const anyJob: fc.Arbitrary<Job> = fc.record({
  format: fc.constant('clampline-job'),
  version: fc.constant(1),
  id,
  name: text(200),
  createdAt: instant,
  engine,
  target: orNull(
    fc.record({
      corners: fc.array(fc.record({ rpm, advanceDeg: deg }), { maxLength: 3 }),
      bandDeg: number(0, 90),
    }),
  ),
  steps: fc.record({ startRpm: rpm, endRpm: rpm, spacingRpm: number(1, 30_000) }),
  corrections,
  setUps: unlike(
    fc.record({
      id,
      name: text(200),
      springs: text(20_000),
      stop: text(20_000),
      vacuumLine: fc.constantFrom('plugged', 'connected', 'none'),
      notes: text(20_000),
    }),
  ),
  runs: unlike(run),
  notes: text(20_000),
} as const);
