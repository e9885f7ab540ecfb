/** The advances of a made recording of two channels beside the truth that the signal maker tells. */
import type { Scenario } from '../../core/scenario/scenario';
import { simulate, type TrueStrike } from '../../core/scenario/simulate';
import { createAdvanceDecoder } from '../../core/sensor/advance-decoder';
import type { SparkAdvance } from '../../core/sensor/spark-bins';

/** A spark that fired, and what was told of it. */
export interface ScoredSpark {
  readonly timeS: number;
  readonly rpm: number;
  readonly trueDeg: number;
  /** Its strike was found on the clamp's channel. */
  readonly isStruck: boolean;
  /** Three pulses of the sensor came before it, and three after. */
  readonly isInside: boolean;
  /** null: left out as not known. */
  readonly told: SparkAdvance | null;
}

/** A strike told this near to a true one is that one. */
const NEAR_S = 1e-3;
/** So many pulses to either side tell of a spark. */
const BESIDE = 3;

/** @param blockFrames samples that the decoder is given at a time; those of the maker where not said
 * @param besideAt what the sensor's channel holds besides, full scale 1, at a time in seconds */
export function toldAdvances(
  scenario: Scenario,
  blockFrames = Infinity,
  besideAt: ((timeS: number) => number) | null = null,
): { told: SparkAdvance[]; struckS: number[]; strikes: TrueStrike[]; pulses: TrueStrike[] } {
  const simulation = simulate(scenario);
  const told: SparkAdvance[] = [];
  const struckS: number[] = [];
  const [strikes, pulses]: [TrueStrike[], TrueStrike[]] = [[], []];
  const { sampleRateHz, engine, sensor } = scenario;
  const place = { angleDeg: sensor!.beforeTdcDeg, delayUs: 1e6 * sensor!.delayS };
  const decoder = createAdvanceDecoder({ sampleRateHz, engine }, place, {
    strike: (timeS) => struckS.push(timeS),
    advance: (timeS, rpm, advanceDeg, sdDeg) => told.push({ timeS, rpm, advanceDeg, sdDeg }),
  });
  let frame = 0;
  for (const [clamp, crank] of simulation.blocks) {
    if (besideAt) for (let n = 0; n < crank!.length; n++) crank![n]! += besideAt((frame + n) / sampleRateHz);
    frame += crank!.length;
    for (let at = 0; at < clamp!.length; at += blockFrames)
      decoder.push(clamp!.subarray(at, at + blockFrames), crank!.subarray(at, at + blockFrames));
    strikes.push(...simulation.takeStrikes());
    pulses.push(...simulation.takePulses());
  }
  decoder.finish();
  strikes.push(...simulation.takeStrikes());
  pulses.push(...simulation.takePulses());
  return { told, struckS, strikes, pulses };
}

/** Every spark that fired, in order of time. @param besideAt as above */
export function scoreAdvances(
  scenario: Scenario,
  besideAt: ((timeS: number) => number) | null = null,
): ScoredSpark[] {
  const { told, struckS, strikes, pulses } = toldAdvances(scenario, Infinity, besideAt);
  const heard = pulses.filter(({ fate }) => fate === 'fired');
  const [fromS, untilS] = [heard[BESIDE - 1]!.timeS!, heard.at(-BESIDE)!.timeS!];
  let [next, nextStruck] = [0, 0];
  return strikes.flatMap(({ timeS, rpm, advanceDeg, fate }) => {
    if (fate !== 'fired') return [];
    while (next < told.length && told[next]!.timeS < timeS! - NEAR_S) next++;
    const near = told[next];
    while (nextStruck < struckS.length && struckS[nextStruck]! < timeS! - NEAR_S) nextStruck++;
    return [
      {
        ...{ timeS: timeS!, rpm, trueDeg: advanceDeg!, isInside: timeS! > fromS && timeS! < untilS },
        isStruck: Math.abs((struckS[nextStruck] ?? Infinity) - timeS!) < NEAR_S,
        told: near && Math.abs(near.timeS - timeS!) < NEAR_S ? near : null,
      },
    ];
  });
}
