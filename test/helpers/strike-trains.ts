/** Strikes of engines of known speed, without sound: times with their scatter, and the speed at each. One strike every
 * two turns. Nothing here finds a rate. */
import { createRandom, type Random } from '../../dsp/maker/random';

/** Seconds and the rate then; straight between, the last kept. */
type Knot = readonly [number, number];

export interface StrikeTrain {
  readonly timesS: number[];
  /** Rate at the moment that each time tells, hertz: a rate is told for that moment, not for the one when the strike
   * would have come without its scatter. */
  readonly ratesHz: number[];
  /** Strikes since the last corner of the speed, from 1; large where there is none. */
  readonly sinceCorner: number[];
  readonly timeSdS: number;
  /** Time that vanished: each block. */
  readonly lostS: number[];
}

const STRIKES_PER_TURN = 0.5;
const rpm = (perMinute: number): number => (perMinute / 60) * STRIKES_PER_TURN;
/** Rates that can be: 200 to 11 000 rpm. */
export const TRAIN_RATES = { lowestRateHz: rpm(200), highestRateHz: rpm(11_000) };
const SECONDS = 12;

/** A strike that came just when it should. */
interface FreeStrike {
  readonly timeS: number;
  readonly rateHz: number;
  readonly changeHzPerS: number;
}

/** Each stretch of changing speed is a parabola of the beat: solved in closed form. */
function strikesOf(knots: readonly Knot[], firstPlace: number): FreeStrike[] {
  const strikes: FreeStrike[] = [];
  let place = firstPlace;
  knots.forEach(([fromS, fromHz], i) => {
    const [toS, toHz] = knots[i + 1] ?? [SECONDS, fromHz];
    const lastsS = Math.min(toS, SECONDS) - fromS;
    if (lastsS <= 0) return;
    const change = (toHz - fromHz) / (toS - fromS);
    const end = place + fromHz * lastsS + 0.5 * change * lastsS * lastsS;
    for (let n = Math.floor(place) + 1; n <= end; n++) {
      const ahead = n - place;
      const afterS = (2 * ahead) / (fromHz + Math.sqrt(fromHz * fromHz + 2 * change * ahead));
      strikes.push({ timeS: fromS + afterS, rateHz: fromHz + change * afterS, changeHzPerS: change });
    }
    place = end;
  });
  return strikes;
}

/** Between knots, straight. */
function rateAt(knots: readonly Knot[], timeS: number): number {
  const after = knots.findIndex(([atS]) => atS > timeS);
  if (after < 1) return knots[after === 0 ? 0 : knots.length - 1]![1];
  const [[fromS, fromHz], [toS, toHz]] = [knots[after - 1]!, knots[after]!];
  return fromHz + ((toHz - fromHz) * (timeS - fromS)) / (toS - fromS);
}

/** Each cycle goes over straight from one speed to the next, all of them a little off what is meant, as in an engine. */
function everyCycle(meant: readonly Knot[], share: number, random: Random): Knot[] {
  const knots: Knot[] = [meant[0]!];
  for (let [timeS, hz] = meant[0]!; timeS < SECONDS;) {
    timeS += 1 / hz;
    hz = rateAt(meant, timeS) * (1 + share * random.between(-1, 1));
    knots.push([timeS, hz]);
  }
  return knots;
}

/** Where the speed begins to go another way than before, in order. A cycle that what is meant turns in goes over from what
 * was meant as it began to what is as it ends: its speed bends at both. */
const cornersOf = (meant: readonly Knot[], knots: readonly Knot[]): number[] =>
  meant.slice(1).flatMap(([cornerS]) => {
    const next = knots.findIndex(([atS]) => atS >= cornerS);
    if (next < 1 || knots[next]![0] === cornerS) return [cornerS];
    return [knots[next - 1]![0], knots[next]![0]];
  });

const anyRate = (random: Random): number => rpm(400 * (7000 / 400) ** random.uniform());

const SWEEP: readonly Knot[] = [
  [0, rpm(700)],
  [2, rpm(700)],
  [SECONDS, rpm(6500)],
];

function blip(random: Random): Knot[] {
  const atS = random.between(2, 3);
  const downS = atS + 1.3 + random.uniform();
  const speeds: Knot[] = [
    [0, 900],
    [atS, 900],
    [atS + 0.5, 4500],
    [atS + 0.8, 4500],
    [downS, 900],
  ];
  return speeds.map(([timeS, perMinute]): Knot => [timeS, rpm(perMinute)]);
}

interface Running {
  readonly knots: (random: Random) => Knot[];
  /** The knots but the first are corners. */
  readonly hasCorners?: boolean;
  /** Each cycle differs by so much from that. */
  readonly cycles?: number;
  readonly misfireShare?: number;
  readonly lostPerS?: number;
}

/** Kinds of running. @source SIGNAL ranges that are common practice: idle that varies by 8 % from cycle to cycle, a blip
 * from 900 to 4500 rpm in half a second, slow sweeps, blocks of 1 to 50 ms lost */
export const RUNNINGS = {
  steady: { knots: (random) => [[0, anyRate(random)]] },
  'hunting by 0.3 %': {
    knots: (random) => {
      const [base, phase] = [anyRate(random), random.between(0, 6)];
      return Array.from({ length: SECONDS * 50 }, (_, i): Knot => [
        i / 50,
        base * (1 + 0.003 * Math.sin(0.8 * Math.PI * (i / 50) + phase)),
      ]);
    },
  },
  sweep: { knots: () => [...SWEEP], hasCorners: true },
  'sweep, cycles 0.5 %': { knots: () => [...SWEEP], hasCorners: true, cycles: 0.005 },
  'cycles that differ by 1 %': { knots: (random) => [[0, anyRate(random)]], cycles: 0.01 },
  'cycles that differ by 3 %': { knots: (random) => [[0, anyRate(random)]], cycles: 0.03 },
  'rough idle, 8 %': { knots: (random) => [[0, rpm(random.between(600, 1000))]], cycles: 0.08 },
  blip: { knots: blip, hasCorners: true },
  'blip, cycles 0.5 %': { knots: blip, hasCorners: true, cycles: 0.005 },
  'misfires 8 %': { knots: (random) => [[0, anyRate(random)]], misfireShare: 0.08 },
  'lost blocks': { knots: (random) => [[0, anyRate(random)]], lostPerS: 0.4 },
} as const satisfies Record<string, Running>;
export type RunningName = keyof typeof RUNNINGS;

/** Blocks of 1 to 50 ms that vanish, as their first and last moment. */
function lostBlocks(perS: number, random: Random): { fromS: number; toS: number }[] {
  const blocks: { fromS: number; toS: number }[] = [];
  if (perS === 0) return blocks;
  for (let atS = 1.5 + random.wait(1 / perS); atS < SECONDS; atS += 0.5 + random.wait(1 / perS))
    blocks.push({ fromS: atS, toS: atS + random.between(1e-3, 50e-3) });
  return blocks;
}

/** @param seed the same seed, the same train */
export function strikeTrain(name: RunningName, seed: number): StrikeTrain {
  const random = createRandom(seed, 91);
  const running: Running = RUNNINGS[name];
  const meant = running.knots(random);
  const knots = running.cycles ? everyCycle(meant, running.cycles, random) : meant;
  const corners = running.hasCorners ? cornersOf(meant, knots) : [];
  const timeSdS = 10 ** random.between(-6.3, -5.3);
  const scatterDeg = random.between(0, 0.2);
  const blocks = lostBlocks(running.lostPerS ?? 0, random);
  const train = { timesS: [], ratesHz: [], sinceCorner: [], timeSdS, lostS: [] } as StrikeTrain;
  let since = 1000;
  for (const { timeS, rateHz, changeHzPerS } of strikesOf(knots, random.uniform())) {
    while (corners.length > 0 && corners[0]! < timeS) [since] = [0, corners.shift()];
    since++;
    const scatteredS = timeSdS * random.normal() + (scatterDeg / 720 / rateHz) * random.normal();
    if (random.uniform() < (running.misfireShare ?? 0)) continue;
    if (blocks.some(({ fromS, toS }) => timeS > fromS && timeS < toS)) continue;
    const gone = blocks.filter(({ toS }) => toS <= timeS).map(({ fromS, toS }) => toS - fromS);
    train.timesS.push(timeS + scatteredS - gone.reduce((sum, each) => sum + each, 0));
    train.ratesHz.push(rateHz + changeHzPerS * scatteredS);
    train.sinceCorner.push(since);
  }
  train.lostS.push(...blocks.map(({ fromS, toS }) => toS - fromS));
  return train;
}
