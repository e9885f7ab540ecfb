import { expect, test } from 'vitest';
import {
  Firing,
  leadPlan,
  type CrankPulse,
  type FiringOptions,
  type Spark,
} from '../../../core/scenario/firing';
import { endTimeS, profileMotion, turnsReader, type SpeedProfile } from '../../../core/scenario/motion';
import { createRandom } from '../../../dsp/maker/random';

const EIGHT = { strokes: 4, cylinders: 8, pickup: 'plug' } as const;
const steadyAt = (rpm: number): SpeedProfile => ({ corners: [{ timeS: 0, rpm }], wanderShare: 0 });

function follow(
  options: Partial<FiringOptions>,
  profile: SpeedProfile,
  untilS: number,
): (Spark | CrankPulse)[] {
  const firing = new Firing({
    engine: EIGHT,
    firingDeg: null,
    advanceDeg: () => 10,
    crankBeforeTdcDeg: null,
    ...options,
  });
  const events: (Spark | CrankPulse)[] = [];
  const cycleTurns = (options.engine ?? EIGHT).strokes / 2;
  for (const stretch of profileMotion(profile, cycleTurns, createRandom(1))) {
    events.push(...firing.follow(stretch));
    if (endTimeS(stretch) >= untilS) return events.filter(({ timeS }) => timeS < untilS);
  }
  return events;
}

const sparksOf = (events: (Spark | CrankPulse)[]): Spark[] =>
  events.filter((event) => event.kind === 'spark');

// Pulses for each crank turn, common practice: the table of pick-ups in the trade.
test.each([
  { engine: EIGHT, leads: 8, perTurn: 1 / 2 },
  { engine: { strokes: 2, cylinders: 3, pickup: 'plug' } as const, leads: 3, perTurn: 1 },
  { engine: { strokes: 4, cylinders: 4, pickup: 'wasted' } as const, leads: 2, perTurn: 1 },
  { engine: { strokes: 4, cylinders: 3, pickup: 'wasted' } as const, leads: 3, perTurn: 1 },
  { engine: { strokes: 4, cylinders: 6, pickup: 'coil' } as const, leads: 6, perTurn: 1 / 2 },
])(
  '$engine.strokes strokes, $engine.cylinders cylinders, $engine.pickup: $leads leads, each $perTurn a turn',
  ({ engine, leads, perTurn }) => {
    const sparks = sparksOf(follow({ engine }, steadyAt(3000), 10.0001));
    expect(new Set(sparks.map(({ lead }) => lead)).size).toBe(leads);
    const clamped = sparks.filter(({ lead }) => lead === 0).length;
    expect(Math.abs(clamped - 500 * perTurn)).toBeLessThanOrEqual(1); // 500 turns in 10 s
  },
);

test('every spark stands its advance before a top dead centre of its lead', () => {
  const sweep = {
    corners: [
      { timeS: 0, rpm: 800 },
      { timeS: 5, rpm: 6000 },
    ],
    wanderShare: 0.05,
  };
  const random = createRandom(3);
  const events = follow({ advanceDeg: (rpm) => 8 + rpm / 300 + random.normal() }, sweep, 5);
  const turns = turnsReader(profileMotion(sweep, 2, createRandom(1)));
  for (const { timeS, advanceDeg, lead } of sparksOf(events)) {
    const tdc = turns(timeS) + advanceDeg / 360;
    const place = (((tdc - 1 - lead / 4) % 2) + 2) % 2; // eight leads over two turns, the first at one turn
    expect(Math.min(place, 2 - place)).toBeLessThan(1e-9);
  }
});

test('a retarded spark comes after its top dead centre', () => {
  const first = sparksOf(follow({ advanceDeg: () => -10 }, steadyAt(600), 1))[0]!;
  expect(first.timeS).toBeCloseTo(0.1 + 10 / 360 / 10, 12); // 10 turns a second: TDC at 0.1 s
});

test('events come in order of time, over stretches and leads', () => {
  const random = createRandom(4);
  const blip = {
    corners: [
      { timeS: 0, rpm: 900 },
      { timeS: 0.5, rpm: 4500 },
      { timeS: 3, rpm: 900 },
    ],
    wanderShare: 0.08,
  };
  const events = follow({ advanceDeg: () => 20 + 5 * random.normal(), crankBeforeTdcDeg: 60 }, blip, 4);
  events.forEach((event, i) => i > 0 && expect(event.timeS).toBeGreaterThanOrEqual(events[i - 1]!.timeS));
});

test('the crank sensor pulses once a turn, its degrees before the top dead centre of No. 1', () => {
  const events = follow({ crankBeforeTdcDeg: 60 }, steadyAt(1200), 3);
  const pulses = events.filter((event) => event.kind === 'crank');
  expect(pulses).toHaveLength(60); // 20 turns a second
  pulses.forEach(({ timeS }, i) => expect(timeS).toBeCloseTo((i + 1 - 60 / 360) / 20, 10));
});

test('an odd-fire engine’s coil fires at its own uneven angles', () => {
  const engine = { strokes: 4, cylinders: 6, pickup: 'coil' } as const;
  const firingDeg = [0, 150, 240, 390, 480, 630];
  const sparks = sparksOf(follow({ engine, firingDeg }, steadyAt(1000), 3));
  const gaps = sparks.slice(1).map((spark, i) => (spark.timeS - sparks[i]!.timeS) * 6 * 1000); // deg = 6 rpm s
  gaps.forEach((gap, i) => expect(gap).toBeCloseTo(i % 2 === 0 ? 150 : 90, 6));
});

test('firing degrees that do not fit the engine are refused', () => {
  expect(() => leadPlan(EIGHT, [0, 90])).toThrow(/8 rising figures/);
  expect(() => leadPlan({ ...EIGHT, cylinders: 2 }, [0, 720])).toThrow(RangeError);
  expect(() => leadPlan({ ...EIGHT, cylinders: 2 }, [10, 300])).toThrow(RangeError);
  expect(() => leadPlan({ ...EIGHT, cylinders: 0 }, null)).toThrow(/cylinders/);
});
