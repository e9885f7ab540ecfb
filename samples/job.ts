/** The sample job: two runs on the practice engine, one set-up after the other, read as a person reads. A scenario of
 * our own: no car, no maker, nobody's measurements. */
import type { Job, Reading, Run, SetUp } from '../core/job';
import { JOB_FORMAT, JOB_VERSION } from '../core/job';
import { BY_LIGHT, NOTHING_NOTED } from '../core/new-job';
import { practiceMechanism } from '../core/practice/practice-distributor';
import { createPracticeEngine, type PracticeEngine } from '../core/practice/practice-engine';
import { stepSpeeds } from '../core/steps';
import { createRandom, type Random } from '../dsp/maker/random';

const ENGINE: Job['engine'] = {
  strokes: 4,
  cylinders: 4,
  pickup: 'plug',
  rotorSense: 'clockwise',
  idleRpm: 830,
  damperDiameterMm: 165,
  housingDiameterMm: 72,
  strokeMm: 80,
  rodMm: 140,
  crankSensor: null,
  traits: {
    compression: 'usual',
    camDuration: 'long',
    weight: 'light',
    gearing: 'short',
    converter: 'manual',
  },
};
const STEPS: Job['steps'] = { startRpm: 950, endRpm: 4450, spacingRpm: 250 };
const CORRECTIONS: Job['corrections'] = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 0 };

const SET_UPS: readonly SetUp[] = [
  {
    id: 'set-up-1',
    name: 'As found',
    springs: 'Heavy pair',
    stop: 'Long stop, 24°',
    firstSpringId: 'heavy-pair',
    secondSpringId: 'heavy-pair',
    stopId: 'long-stop',
    vacuumLine: 'plugged',
    notes: '',
  },
  {
    id: 'set-up-2',
    name: 'Middle springs, middle stop',
    springs: 'Middle pair',
    stop: 'Middle stop, 20°',
    firstSpringId: 'middle-pair',
    secondSpringId: 'middle-pair',
    stopId: 'middle-stop',
    vacuumLine: 'plugged',
    notes: 'Housing 6° on, so that the total stays where it was or a little above.',
  },
];

const PARTS: Job['parts'] = {
  springs: [
    { id: 'heavy-pair', name: 'Heavy pair', hung: null, coil: null, notes: '' },
    { id: 'middle-pair', name: 'Middle pair', hung: null, coil: null, notes: '' },
  ],
  stops: [
    { id: 'long-stop', name: 'Long stop', rangeDeg: 24, notes: '' },
    { id: 'middle-stop', name: 'Middle stop', rangeDeg: 20, notes: '' },
  ],
};

/** Low, to be quick: only speeds and marks are looked at. */
const SAMPLE_RATE_HZ = 8000;
const LOOK_S = 0.1;
const SETTLE_S = 6;
const READ_S = 2;

interface Look {
  readonly timeS: number;
  readonly rpm: number;
  readonly markDeg: number;
}

/** Runs on for so long and looks ten times a second. */
function look(engine: PracticeEngine, seconds: number): Look[] {
  const looks: Look[] = [];
  for (let i = 0; i < seconds / LOOK_S; i++) {
    engine.render(SAMPLE_RATE_HZ * LOOK_S);
    const { timeS, rpm, markDeg } = engine.state();
    if (markDeg !== null) looks.push({ timeS, rpm, markDeg });
  }
  return looks;
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
const rounded = (value: number, digits: number): number => Number(value.toFixed(digits));
const atTime = (startedAt: string, timeS: number): string =>
  new Date(Date.parse(startedAt) + Math.round(timeS) * 1000).toISOString().replace('.000Z', 'Z');

/** A person sees the mark wander and says a half degree. */
function readingOf(
  looks: readonly Look[],
  stepRpm: number,
  id: string,
  startedAt: string,
  eye: Random,
): Reading {
  const rpm = mean(looks.map((each) => each.rpm));
  const spread = Math.sqrt(mean(looks.map((each) => (each.rpm - rpm) ** 2)));
  const seen = mean(looks.map((each) => each.markDeg)) + 0.6 * eye.normal();
  const { timeS } = looks[looks.length - 1]!;
  return {
    id,
    at: atTime(startedAt, timeS),
    timeS: rounded(timeS, 3),
    rpm: rounded(rpm, 1),
    rpmSd: rounded(spread, 1),
    seenDeg: Math.round(2 * seen) / 2,
    steady: true,
    stepRpm,
    note: '',
    ...BY_LIGHT,
  };
}

interface RunFacts {
  readonly number: 1 | 2;
  readonly springs: string;
  readonly stop: string;
  readonly housingDeg: number;
  readonly startedAt: string;
  readonly notes: string;
}

function runOf({ number, springs, stop, housingDeg, startedAt, notes }: RunFacts): Run {
  const distributor = practiceMechanism(springs, stop);
  const seed = 200 + number;
  const engine = createPracticeEngine({
    sampleRateHz: SAMPLE_RATE_HZ,
    seed,
    distributor,
    engine: ENGINE,
    housingDeg,
  });
  const eye = createRandom(seed, 1);
  const all: Look[] = look(engine, 5);
  const readings = stepSpeeds(STEPS).map((stepRpm, i) => {
    engine.holdSpeed(stepRpm);
    all.push(...look(engine, SETTLE_S));
    const looks = look(engine, READ_S);
    all.push(...looks);
    return readingOf(looks, stepRpm, `run-${number}-reading-${i + 1}`, startedAt, eye);
  });
  const kept = all.filter((_, i) => i % 5 === 0);
  return {
    id: `run-${number}`,
    setUpId: `set-up-${number}`,
    startedAt,
    source: 'practice engine',
    corrections: CORRECTIONS,
    readings,
    trace: {
      timeS: kept.map(({ timeS }) => rounded(timeS, 3)),
      rpm: kept.map(({ rpm }) => rounded(rpm, 1)),
      rpmSd: kept.map(({ rpm }) => rounded(0.001 * rpm, 2)),
    },
    ...NOTHING_NOTED,
    notes,
  };
}

/** @returns the same job every time */
export function sampleJob(): Job {
  return {
    format: JOB_FORMAT,
    version: JOB_VERSION,
    id: 'sample-job',
    name: 'Practice engine, two evenings',
    createdAt: '2026-03-10T18:00:00Z',
    engine: ENGINE,
    target: {
      corners: [
        { rpm: 1000, advanceDeg: 14 },
        { rpm: 3000, advanceDeg: 34 },
      ],
      bandDeg: 2,
    },
    steps: STEPS,
    corrections: CORRECTIONS,
    setUps: SET_UPS,
    parts: PARTS,
    limits: { mostTotalDeg: 36, mostIdleDeg: null, mostCruiseDeg: null },
    tdcProofs: [],
    log: [],
    runs: [
      runOf({
        number: 1,
        springs: 'heavy',
        stop: 'long',
        housingDeg: 8,
        startedAt: '2026-03-10T18:20:00Z',
        notes: 'As found: late all the way up.',
      }),
      runOf({
        number: 2,
        springs: 'middle',
        stop: 'middle',
        housingDeg: 14,
        startedAt: '2026-03-11T18:05:00Z',
        notes: 'Lighter springs, a shorter stop, the housing set on.',
      }),
    ],
    notes: 'Made with the practice engine; no real engine stands behind it.',
  };
}
