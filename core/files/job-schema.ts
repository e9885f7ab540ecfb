/** The shape of a job file, for checking what comes from outside. Its published twin is clampline-job.schema.json; a
 * test holds the two together. Objects may carry fields that this version does not know. */
import * as v from 'valibot';
import { JOB_FORMAT, JOB_VERSION, type Job } from '../job';

/** Limits, far beyond what one engine's evenings come to, so that a damaged file is found before it does harm. */
export const JOB_LIMITS = {
  idCharacters: 100,
  nameCharacters: 200,
  noteCharacters: 20_000,
  corners: 100,
  setUps: 1000,
  runs: 2000,
  readings: 10_000,
  parts: 1000,
  proofs: 1000,
  logEntries: 10_000,
  traceRows: 4_000_000,
} as const;

// Lengths count code points, as JSON Schema does: one for each letter, whatever its bytes.
const text = (most: number, least = 0) =>
  v.pipe(
    v.string('text was wanted'),
    v.check(
      (value) => value.length >= least && (value.length <= most || [...value].length <= most),
      least > 0
        ? `text of ${least} to ${most} characters was wanted`
        : `at most ${most} characters were wanted`,
    ),
  );
const numeric = (from: number, to: number) => {
  const wanted = `a number from ${from} to ${to} was wanted`;
  return v.pipe(v.number(wanted), v.minValue(from, wanted), v.maxValue(to, wanted));
};
const oneOf = <const T extends readonly string[]>(...words: T) =>
  v.picklist(words, `one of ${words.join(', ')} was wanted`);
const list = <S extends v.GenericSchema>(item: S, most: number) =>
  v.pipe(v.array(item, 'a list was wanted'), v.maxLength(most, `at most ${most} entries were wanted`));
const object = <E extends v.ObjectEntries>(entries: E) => v.looseObject(entries, 'an object was wanted');

const id = text(JOB_LIMITS.idCharacters, 1);
const name = text(JOB_LIMITS.nameCharacters);
const note = text(JOB_LIMITS.noteCharacters);
const instant = v.pipe(
  v.string('a time was wanted'),
  v.regex(
    /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,9})?Z$/,
    'a UTC time like 2026-05-01T18:30:00Z was wanted',
  ),
);
const rpm = numeric(0, 30_000);
const deg = numeric(-360, 360);
const diameterMm = v.nullable(numeric(0.1, 2000));

const engine = object({
  strokes: v.picklist([2, 4], 'strokes 2 or 4 were wanted'),
  cylinders: v.pipe(numeric(1, 24), v.integer('a whole number was wanted')),
  pickup: oneOf('plug', 'wasted', 'coil', 'sensor'),
  rotorSense: v.nullable(oneOf('clockwise', 'anticlockwise')),
  idleRpm: v.nullable(rpm),
  damperDiameterMm: diameterMm,
  housingDiameterMm: diameterMm,
  strokeMm: diameterMm,
  rodMm: diameterMm,
  crankSensor: v.nullable(
    object({
      channel: v.pipe(numeric(1, 64), v.integer('a whole number was wanted')),
      angleDeg: v.nullable(deg),
      delayUs: numeric(-1e6, 1e6),
    }),
  ),
  traits: object({
    compression: v.nullable(oneOf('low', 'usual', 'high')),
    camDuration: v.nullable(oneOf('short', 'usual', 'long')),
    weight: v.nullable(oneOf('heavy', 'usual', 'light')),
    gearing: v.nullable(oneOf('long', 'usual', 'short')),
    converter: v.nullable(oneOf('tight', 'usual', 'loose', 'manual')),
  }),
});

const corrections = object({
  tapeZeroErrorDeg: deg,
  tapeZeroSdDeg: v.nullable(numeric(0, 90)),
  lightDelayUs: numeric(-1e6, 1e6),
});

const target = object({
  corners: list(object({ rpm, advanceDeg: deg }), JOB_LIMITS.corners),
  bandDeg: numeric(0, 90),
});

const setUp = object({
  id,
  name,
  springs: note,
  stop: note,
  firstSpringId: v.nullable(id),
  secondSpringId: v.nullable(id),
  stopId: v.nullable(id),
  vacuumLine: oneOf('plugged', 'connected', 'none'),
  notes: note,
});

const timeS = numeric(0, 1e7);
const reading = object({
  id,
  at: instant,
  by: oneOf('light', 'crank sensor'),
  scatterDeg: v.nullable(numeric(0, 360)),
  sparks: v.nullable(v.pipe(numeric(1, 1e7), v.integer('a whole number was wanted'))),
  sweep: v.nullable(oneOf('up', 'down')),
  timeS: v.nullable(timeS),
  rpm,
  rpmSd: v.nullable(rpm),
  seenDeg: deg,
  steady: v.nullable(v.boolean('true or false was wanted')),
  stepRpm: v.nullable(rpm),
  note,
});

const vacuumReading = object({
  id,
  at: instant,
  vacuumKpa: numeric(0, 110),
  seenDeg: deg,
  rpm: v.nullable(rpm),
  note,
});

const dwellReading = object({
  id,
  at: instant,
  dwellDeg: numeric(0, 360),
  by: oneOf('typed by hand', 'coil lead'),
  gapMm: v.nullable(numeric(0, 10)),
  rpm: v.nullable(rpm),
  note,
});

const knock = object({ id, at: instant, rpm, note });

const above0 = (to: number) => numeric(1e-6, to);
const spring = object({
  id,
  name,
  hung: v.nullable(object({ massG: above0(1e6), stretchMm: above0(1e4) })),
  coil: v.nullable(
    object({
      wireMm: above0(100),
      coilMm: above0(1000),
      activeCoils: above0(1000),
      material: oneOf('music wire', 'oil-tempered wire', 'stainless steel', 'phosphor bronze'),
    }),
  ),
  notes: note,
});

const stop = object({ id, name, rangeDeg: v.nullable(numeric(0, 360)), notes: note });

const tdcProof = object({
  id,
  at: instant,
  method: oneOf('positive stop', 'dial indicator'),
  firstDeg: deg,
  secondDeg: v.nullable(deg),
  readingSdDeg: numeric(0, 90),
  dropMm: v.nullable(numeric(0, 2000)),
  notes: note,
});

const logEntry = object({
  id,
  at: instant,
  kind: oneOf('road', 'strip', 'work', 'note'),
  runId: v.nullable(id),
  text: note,
});

/** A column of a trace. One check for the whole of it: it may hold millions of numbers. */
function column<T extends number | null>(to: number, withGaps: boolean) {
  const fits = (value: unknown): boolean =>
    (withGaps && value === null) || (typeof value === 'number' && value >= 0 && value <= to);
  return v.custom<readonly T[]>(
    (values) => Array.isArray(values) && values.length <= JOB_LIMITS.traceRows && values.every(fits),
    `at most ${JOB_LIMITS.traceRows} numbers from 0 to ${to}${withGaps ? ' or null' : ''} were wanted`,
  );
}

const trace = object({
  timeS: column<number>(1e7, false),
  rpm: column<number | null>(30_000, true),
  rpmSd: column<number | null>(30_000, true),
});

const run = object({
  id,
  setUpId: v.nullable(id),
  startedAt: instant,
  source: oneOf('line input', 'recording', 'practice engine', 'typed by hand'),
  corrections,
  readings: list(reading, JOB_LIMITS.readings),
  vacuumReadings: list(vacuumReading, JOB_LIMITS.readings),
  dwellReadings: list(dwellReading, JOB_LIMITS.readings),
  knocks: list(knock, JOB_LIMITS.readings),
  trace: v.nullable(trace),
  weather: note,
  fuel: note,
  notes: note,
});

export const jobSchema = object({
  format: v.literal(JOB_FORMAT),
  version: v.literal(JOB_VERSION),
  id,
  name,
  createdAt: instant,
  engine,
  target: v.nullable(target),
  steps: object({ startRpm: rpm, endRpm: rpm, spacingRpm: numeric(1, 30_000) }),
  corrections,
  setUps: list(setUp, JOB_LIMITS.setUps),
  parts: object({ springs: list(spring, JOB_LIMITS.parts), stops: list(stop, JOB_LIMITS.parts) }),
  limits: object({
    mostTotalDeg: v.nullable(deg),
    mostIdleDeg: v.nullable(deg),
    mostCruiseDeg: v.nullable(deg),
  }),
  tdcProofs: list(tdcProof, JOB_LIMITS.proofs),
  runs: list(run, JOB_LIMITS.runs),
  log: list(logEntry, JOB_LIMITS.logEntries),
  notes: note,
}) satisfies v.GenericSchema<unknown, Job>;
