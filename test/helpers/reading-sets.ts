/** Made sets of readings with their truth: a seed and a kind of engine in, readings as a person would take them out.
 * Shares no code with the fit. */
import { createRandom, type Random } from '../../dsp/maker/random';

export interface CurveTruth {
  readonly initialDeg: number;
  readonly startRpm: number;
  readonly allInRpm: number;
  readonly totalDeg: number;
}

export interface MadeReading {
  readonly rpm: number;
  readonly advanceDeg: number;
  readonly rpmSd?: number;
}

export interface MadeSet {
  readonly truth: CurveTruth;
  readonly readings: readonly MadeReading[];
  readonly sdDeg: number;
}

/** How the ramp runs: straight; straight in the square of the speed, as a weight against a spring gives; or in two
 * slopes, as a second spring with slack gives. */
export type RampKind = 'straight' | 'square' | 'two slopes';
/** Which corners the speeds read reach beyond. */
export type Reach = 'both' | 'no start' | 'no all-in' | 'below the start';

export interface SetOptions {
  readonly ramp?: RampKind;
  readonly reach?: Reach;
  /** Scatter at twice 1500 rpm over that at 1500 rpm: 1 for even scatter. */
  readonly scatterRatio?: number;
  /** Say the speed's standard deviation beside each reading. */
  readonly saySpeedSd?: boolean;
}

type Curve = (rpm: number) => number;

function curveOf(truth: CurveTruth, ramp: RampKind, random: Random): Curve {
  const { initialDeg, startRpm, allInRpm, totalDeg } = truth;
  const bend = random.between(0.35, 0.6);
  const risen = Math.min(0.85, bend + random.between(0.15, 0.3));
  const shareAt = (rpm: number): number => {
    if (ramp === 'square') return (rpm ** 2 - startRpm ** 2) / (allInRpm ** 2 - startRpm ** 2);
    const along = (rpm - startRpm) / (allInRpm - startRpm);
    if (ramp === 'straight') return along;
    return along < bend ? (risen * along) / bend : risen + ((1 - risen) * (along - bend)) / (1 - bend);
  };
  return (rpm) => {
    if (rpm <= startRpm) return initialDeg;
    if (rpm >= allInRpm) return totalDeg;
    return initialDeg + (totalDeg - initialDeg) * shareAt(rpm);
  };
}

/** Steps from low to high; 8 to 40 readings, one to three at each step. */
function speedsOf(lowRpm: number, highRpm: number, spacingRpm: number, random: Random): number[] {
  let steps: number[] = [];
  for (let rpm = lowRpm; rpm <= highRpm; rpm += spacingRpm) steps.push(rpm);
  while (steps.length < 3) steps.push(steps.at(-1)! + spacingRpm / 2);
  if (steps.length > 40) steps = steps.filter((_, i) => i % 2 === 0);
  let each = 1 + Math.floor(3 * random.uniform());
  while (each > 1 && steps.length * each > 40) each--;
  while (steps.length * each < 8) each++;
  return steps.flatMap((rpm) => Array<number>(each).fill(rpm));
}

/** A set of readings. Scatter of 0.5 to 1.2 degrees, steps 100 to 500 rpm apart, the speed held to 15 rpm and known
 * to up to 20 rpm; two to four steps on each level that is reached. */
export function madeReadingSet(seed: number, options: SetOptions = {}): MadeSet {
  const random = createRandom(seed, 4021);
  const { ramp = 'straight', reach = 'both', scatterRatio = 1 } = options;
  const initialDeg = random.between(6, 18);
  const startRpm = random.between(900, 1500);
  const truth = {
    initialDeg,
    startRpm,
    allInRpm: random.between(2400, 3600),
    totalDeg: initialDeg + random.between(14, 26),
  };
  const curve = curveOf(truth, ramp, random);
  const sdDeg = random.between(0.5, 1.2);
  const spacingRpm = random.between(100, 500);
  const beside = Math.max(150, spacingRpm);
  const past = (): number => random.between(2, 4) * beside;
  const inside = (): number => random.between(50, 600);
  const lowRpm = reach === 'no start' ? startRpm + inside() : Math.max(400, startRpm - past());
  const highRpm =
    reach === 'below the start'
      ? startRpm
      : reach === 'no all-in'
        ? truth.allInRpm - inside()
        : truth.allInRpm + past();
  const speedSd = random.between(0, 20);
  const readings = speedsOf(lowRpm, highRpm, spacingRpm, random).map((stepRpm) => {
    const held = stepRpm + 15 * random.normal();
    const sd = sdDeg * Math.max(0.3, 1 + (scatterRatio - 1) * (held / 1500 - 1));
    const advanceDeg = curve(held) + sd * random.normal();
    const rpm = held + speedSd * random.normal();
    return options.saySpeedSd ? { rpm, advanceDeg, rpmSd: speedSd } : { rpm, advanceDeg };
  });
  return { truth, readings, sdDeg };
}
