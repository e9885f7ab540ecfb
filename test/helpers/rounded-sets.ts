/** Readings as a person takes them off the light: idle, then even steps up to a few on the top level, each noted to half
 * or a whole degree. A seed in; readings with the true curve's corners out. Shares no code with the fit. */
import { createRandom, type Random } from '../../dsp/maker/random';
import type { CurveTruth, MadeReading } from './reading-sets';

export interface RoundedOptions {
  /** The ramp is straight in the speed to this power. */
  readonly power: 1 | 2;
  readonly sdDeg: number;
  readonly roundDeg: number;
  /** How many readings stand on the top level; 2 to 4 where left out. */
  readonly onTop?: number;
  /** Standard deviation of the speed that is noted, rpm. */
  readonly speedSd?: number;
}

function truthOf(random: Random): CurveTruth {
  const initialDeg = random.between(6, 18);
  const startRpm = random.between(1000, 1700);
  const allInRpm = random.between(2600, 3700);
  return { initialDeg, startRpm, allInRpm, totalDeg: initialDeg + random.between(14, 26) };
}

function advanceOf(truth: CurveTruth, power: number, rpm: number): number {
  const { initialDeg, startRpm, allInRpm, totalDeg } = truth;
  const share = (rpm ** power - startRpm ** power) / (allInRpm ** power - startRpm ** power);
  return initialDeg + (totalDeg - initialDeg) * Math.min(1, Math.max(0, share));
}

/** Idle at 650 to 950 rpm; 10 to 16 readings. */
export function roundedSet(
  seed: number,
  options: RoundedOptions,
): { truth: CurveTruth; readings: MadeReading[] } {
  const { power, sdDeg, roundDeg, speedSd = 0 } = options;
  const random = createRandom(seed, 7717);
  const truth = truthOf(random);
  const count = 10 + Math.floor(7 * random.uniform());
  const onTop = options.onTop ?? 2 + Math.floor(3 * random.uniform());
  const idleRpm = random.between(650, 950);
  const stepRpm = (truth.allInRpm - idleRpm) / (count - onTop - 1 + 0.9 * random.uniform());
  const readings = Array.from({ length: count }, (_, i) => {
    const held = idleRpm + i * stepRpm + 15 * random.normal();
    const seen = advanceOf(truth, power, held) + sdDeg * random.normal();
    const advanceDeg = Math.round(seen / roundDeg) * roundDeg;
    return { rpm: Math.round(held + speedSd * random.normal()), advanceDeg };
  });
  return { truth, readings };
}
