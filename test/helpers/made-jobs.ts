/** Jobs for tests: one of our own scenario, and any number of random ones within the limits. */
import fc from 'fast-check';
import type { EngineFacts } from '../../core/engine';
import type { Job, Run } from '../../core/job';
import { BY_LIGHT, newJob, NO_PARTS } from '../../core/new-job';

const AT = '2026-05-01T18:20:00Z';
const NOTED: Pick<Run, 'vacuumReadings' | 'dwellReadings' | 'knocks' | 'weather' | 'fuel'> = {
  vacuumReadings: [{ id: 'v', at: AT, vacuumKpa: 40, seenDeg: 24, rpm: 1200, note: '' }],
  dwellReadings: [{ id: 'd', at: AT, dwellDeg: 30, by: 'typed by hand', gapMm: 0.4, rpm: null, note: '' }],
  knocks: [{ id: 'k', at: AT, rpm: 2600, note: 'light' }],
  weather: 'dry',
  fuel: '95',
};

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
    parts: {
      springs: [
        {
          id: 'thin',
          name: 'Thin',
          hung: { massG: 500, stretchMm: 12 },
          coil: { wireMm: 0.8, coilMm: 8, activeCoils: 9, material: 'music wire' },
          notes: '',
        },
      ],
      stops: [{ id: 'bush', name: 'Bush', rangeDeg: 20, notes: '' }],
    },
    limits: { mostTotalDeg: 36, mostIdleDeg: null, mostCruiseDeg: 50 },
    tdcProofs: [
      {
        ...{ id: 'p', at: AT, method: 'positive stop', firstDeg: 31, secondDeg: -29, readingSdDeg: 0.5 },
        ...{ dropMm: null, notes: '' },
      },
    ],
    log: [{ id: 'l', at: AT, kind: 'road', runId: 'r1', text: 'pulls well' }],
    setUps: [
      {
        id: 's1',
        name: 'As found',
        springs: 'two plain',
        stop: '10',
        ...NO_PARTS,
        vacuumLine: 'plugged',
        notes: '',
      },
    ],
    runs: [
      {
        id: 'r1',
        setUpId: 's1',
        startedAt: '2026-05-01T18:10:00.250Z',
        source: 'line input',
        corrections: { tapeZeroErrorDeg: -0.5, tapeZeroSdDeg: 0.3, lightDelayUs: 40 },
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
            ...BY_LIGHT,
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
            by: 'crank sensor',
            scatterDeg: 0.4,
            sparks: 240,
            sweep: 'up',
          },
        ],
        trace: { timeS: [0, 0.5, 1], rpm: [900, null, 905.25], rpmSd: [4, null, 3.5] },
        ...NOTED,
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
const corrections = fc.record({
  tapeZeroErrorDeg: deg,
  tapeZeroSdDeg: orNull(number(0, 90)),
  lightDelayUs: number(-1e6, 1e6),
});
const engine: fc.Arbitrary<EngineFacts> = fc.record({
  strokes: fc.constantFrom(2, 4),
  cylinders: fc.integer({ min: 1, max: 24 }),
  pickup: fc.constantFrom('plug', 'wasted', 'coil', 'sensor'),
  rotorSense: fc.constantFrom('clockwise', 'anticlockwise', null),
  idleRpm: orNull(rpm),
  damperDiameterMm: orNull(number(0.1, 2000)),
  housingDiameterMm: orNull(number(0.1, 2000)),
  strokeMm: orNull(number(0.1, 2000)),
  rodMm: orNull(number(0.1, 2000)),
  crankSensor: orNull(
    fc.record({
      channel: fc.integer({ min: 1, max: 64 }),
      angleDeg: orNull(deg),
      delayUs: number(-1e6, 1e6),
    }),
  ),
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
  by: fc.constantFrom('light', 'crank sensor'),
  scatterDeg: orNull(number(0, 360)),
  sparks: orNull(fc.integer({ min: 1, max: 1e7 })),
  sweep: fc.constantFrom('up', 'down', null),
});
const vacuumReading = fc.record({
  ...{ id, at: instant, vacuumKpa: number(0, 110), seenDeg: deg, rpm: orNull(rpm), note: text(20_000) },
});
const dwellReading = fc.record({
  ...{ id, at: instant, dwellDeg: number(0, 360), gapMm: orNull(number(0, 10)), rpm: orNull(rpm) },
  ...{ by: fc.constantFrom('typed by hand', 'coil lead'), note: text(20_000) },
});
const knock = fc.record({ id, at: instant, rpm, note: text(20_000) });
const spring = fc.record({
  id,
  name: text(200),
  hung: orNull(fc.record({ massG: number(1, 1e6), stretchMm: number(1, 1e4) })),
  coil: orNull(
    fc.record({
      ...{ wireMm: number(0.1, 100), coilMm: number(0.1, 1000), activeCoils: number(0.1, 1000) },
      material: fc.constantFrom('music wire', 'oil-tempered wire', 'stainless steel', 'phosphor bronze'),
    }),
  ),
  notes: text(20_000),
});
const tdcProof = fc.record({
  ...{ id, at: instant, firstDeg: deg, secondDeg: orNull(deg), readingSdDeg: number(0, 90) },
  method: fc.constantFrom('positive stop', 'dial indicator'),
  dropMm: orNull(number(0, 2000)),
  notes: text(20_000),
});
const logEntry = fc.record({
  ...{ id, at: instant, runId: orNull(id), text: text(20_000) },
  kind: fc.constantFrom('road', 'strip', 'work', 'note'),
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
  vacuumReadings: unlike(vacuumReading),
  dwellReadings: unlike(dwellReading),
  knocks: unlike(knock),
  weather: text(20_000),
  fuel: text(20_000),
  trace: orNull(trace),
  notes: text(20_000),
});

/** Any job within the limits. */
export const anyJob: fc.Arbitrary<Job> = fc.record({
  format: fc.constant('clampline-job'),
  version: fc.constant(2),
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
      firstSpringId: orNull(id),
      secondSpringId: orNull(id),
      stopId: orNull(id),
      vacuumLine: fc.constantFrom('plugged', 'connected', 'none'),
      notes: text(20_000),
    }),
  ),
  parts: fc.record({
    springs: unlike(spring),
    stops: unlike(fc.record({ id, name: text(200), rangeDeg: orNull(number(0, 360)), notes: text(20_000) })),
  }),
  limits: fc.record({ mostTotalDeg: orNull(deg), mostIdleDeg: orNull(deg), mostCruiseDeg: orNull(deg) }),
  tdcProofs: unlike(tdcProof),
  runs: unlike(run),
  log: unlike(logEntry),
  notes: text(20_000),
} as const);
