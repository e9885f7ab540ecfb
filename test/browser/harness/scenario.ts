/** The scenario that screenshots and view tests play in: one job, three set-ups, two runs. Plain data, all made up. */
import { JOB_VERSION, type Job, type Reading, type Run } from '../../../core/job';
import { BY_LIGHT, NOTHING_NOTED } from '../../../core/new-job';
import type { EngineFacts } from '../../../core/engine';

export const ENGINE: EngineFacts = {
  strokes: 4,
  cylinders: 8,
  pickup: 'plug',
  rotorSense: 'clockwise',
  idleRpm: 780,
  damperDiameterMm: 203.2,
  housingDiameterMm: 92,
  strokeMm: 88,
  rodMm: 145,
  crankSensor: null,
  traits: {
    compression: 'usual',
    camDuration: 'long',
    weight: 'usual',
    gearing: 'short',
    converter: 'manual',
  },
};

const CORRECTIONS = { tapeZeroErrorDeg: 0.5, tapeZeroSdDeg: null, lightDelayUs: 0 };

/** Read off a light: [rpm, spread, degrees seen]. */
const FIRST: readonly (readonly [number, number, number])[] = [
  [702, 6.1, 12.5],
  [801, 5.2, 12],
  [1003, 6.4, 12.5],
  [1198, 5.9, 14],
  [1402, 7.2, 17],
  [1601, 6.6, 20.5],
  [1797, 8.1, 23],
  [2004, 7.4, 26],
  [2203, 9, 29],
  [2398, 8.2, 32],
  [2602, 9.7, 34],
  [2801, 9.1, 34.5],
  [3000, 10.4, 34],
];

const reading =
  (day: string) =>
  ([rpm, rpmSd, seenDeg]: readonly [number, number, number], i: number): Reading => ({
    id: `${day}-${i}`,
    at: `2026-10-${day}T17:${String(10 + i).padStart(2, '0')}:00Z`,
    timeS: 12 + 14 * i,
    rpm,
    rpmSd,
    seenDeg,
    steady: i !== 9,
    stepRpm: Math.round(rpm / 100) * 100,
    note: i === 5 ? 'mark wandered' : '',
    ...BY_LIGHT,
  });

/** A sweep from idle up, two rows a second. */
function sweep(): NonNullable<Run['trace']> {
  const timeS = Array.from({ length: 420 }, (_, i) => i / 2);
  const rpm = timeS.map((t) =>
    t > 90 && t < 93 ? null : 720 + 11 * t + 14 * Math.sin(t * 1.3) + 6 * Math.sin(t * 5),
  );
  return { timeS, rpm, rpmSd: rpm.map((v) => (v === null ? null : 6)) };
}

/** A can that starts at 5 inHg and adds 14 degrees by 12, held at 1800 rpm: [kPa, degrees seen]. */
const VACUUM: readonly (readonly [number, number])[] = [
  ...([[0, 23.5], [3.4, 24], [6.8, 24], [10.2, 23.5], [13.5, 23.5], [16.9, 24.5]] as const), // prettier-ignore
  ...([[20.3, 26], [23.7, 27.5], [27.1, 30], [30.5, 31.5], [33.9, 34], [37.3, 36]] as const), // prettier-ignore
  ...([[40.6, 38], [44, 37.5], [47.4, 38], [50.8, 38.5], [54.2, 38]] as const), // prettier-ignore
];

export const RUN: Run = {
  id: 'run-2',
  setUpId: 'set-up-2',
  startedAt: '2026-10-14T17:05:00Z',
  source: 'line input',
  corrections: CORRECTIONS,
  readings: FIRST.map(reading('14')),
  trace: sweep(),
  ...NOTHING_NOTED,
  vacuumReadings: VACUUM.map(([vacuumKpa, seenDeg], i) => ({
    ...{ id: `v-${i}`, at: `2026-10-14T17:${40 + i}:00Z`, vacuumKpa, seenDeg, rpm: 1800, note: '' },
  })),
  dwellReadings: [
    {
      at: '2026-10-14T16:50:00Z',
      dwellDeg: 26.5,
      by: 'typed by hand',
      gapMm: 0.45,
      rpm: 800,
      note: '',
      id: 'd-1',
    },
    {
      at: '2026-10-14T16:55:00Z',
      dwellDeg: 28.5,
      by: 'typed by hand',
      gapMm: 0.4,
      rpm: 800,
      note: '',
      id: 'd-2',
    },
  ],
  notes: 'Warm, 19 °C, vacuum line plugged.',
};

export const EARLIER: Run = {
  id: 'run-1',
  setUpId: 'set-up-1',
  startedAt: '2026-10-09T18:40:00Z',
  source: 'line input',
  corrections: CORRECTIONS,
  readings: FIRST.slice(0, 8)
    .map(([rpm, sd, deg]) => [rpm, sd, Math.min(deg, 22)] as const)
    .map(reading('09')),
  trace: null,
  ...NOTHING_NOTED,
};

const PROOF = { method: 'positive stop', readingSdDeg: 0.5, dropMm: null, notes: '' } as const;

export const JOB: Job = {
  format: 'clampline-job',
  version: JOB_VERSION,
  id: 'job-1',
  name: 'Stand engine, eight cylinders',
  createdAt: '2026-10-02T16:00:00Z',
  engine: ENGINE,
  target: {
    corners: [
      { rpm: 900, advanceDeg: 12 },
      { rpm: 1500, advanceDeg: 20 },
      { rpm: 2800, advanceDeg: 34 },
    ],
    bandDeg: 2,
  },
  steps: { startRpm: 600, endRpm: 3200, spacingRpm: 200 },
  corrections: CORRECTIONS,
  setUps: [
    {
      id: 'set-up-1',
      name: 'As found',
      springs: 'Heavy × 2',
      stop: '11° bush',
      ...{ firstSpringId: 'heavy', secondSpringId: 'heavy', stopId: 'bush-11' },
      vacuumLine: 'plugged',
      notes: '',
    },
    {
      id: 'set-up-2',
      name: 'Lighter pair',
      springs: 'Medium × 2',
      stop: '11° bush',
      ...{ firstSpringId: 'medium', secondSpringId: 'medium', stopId: 'bush-11' },
      vacuumLine: 'plugged',
      notes: 'Weights free, pins cleaned.',
    },
  ],
  parts: {
    springs: [
      { id: 'light', name: 'Light', hung: { massG: 1000, stretchMm: 13.6 }, coil: null, notes: '' },
      { id: 'medium', name: 'Medium', hung: { massG: 1000, stretchMm: 8.4 }, coil: null, notes: 'Silver.' },
      {
        ...{ id: 'heavy', name: 'Heavy', hung: null, notes: '' },
        coil: { wireMm: 1, coilMm: 7.2, activeCoils: 11, material: 'music wire' },
      },
      { id: 'odd', name: 'Odd one from the drawer', hung: null, coil: null, notes: '' },
    ],
    stops: [
      { id: 'bush-11', name: '11° bush', rangeDeg: 22, notes: '' },
      { id: 'bush-13', name: '13° bush', rangeDeg: 26, notes: '' },
      { id: 'filed', name: 'Filed slot', rangeDeg: null, notes: '' },
    ],
  },
  limits: { mostTotalDeg: null, mostIdleDeg: null, mostCruiseDeg: null },
  tdcProofs: [
    { ...PROOF, id: 'p-1', at: '2026-10-02T16:10:00Z', firstDeg: 24.5, secondDeg: -23.5 },
    { ...PROOF, id: 'p-2', at: '2026-10-14T16:30:00Z', firstDeg: 26.5, secondDeg: -22 },
  ],
  runs: [EARLIER, RUN],
  log: [],
  notes: 'Damper mark checked with a stop in No. 1.',
};
