/** The mechanisms that the readings allow, with other parts fitted and the housing set again: draws and a combination in,
 * each one's curve out. */
import { evenChance, normalChance } from './chance';
import { advanceWith, speedWith, type SpringShares } from './lumped';
import { lumpedAt, rangeAt } from './parameters';
import type { Posterior } from './posterior';

/** A spring by what is known of another: its forces are those of one that was fitted in a run times a factor. */
export interface SpringChoice {
  /** The spring of a run. */
  readonly like: string;
  readonly factor: number;
  /** How far off the factor may be, as shares of it and standard deviations: alike for all of the spring's force, and
   * for its force at rest alone. */
  readonly factorSd: number;
  readonly restSd: number;
}

export type StopChoice = { readonly like: string } | { readonly rangeDeg: number };

/** What would be fitted. */
export interface Combination {
  readonly firstSpring: SpringChoice;
  readonly secondSpring: SpringChoice | null;
  readonly stop: StopChoice;
}

/** What the housing is set for afterwards: what was stays, or a total is set. */
export type Hold = 'total' | 'initial' | { readonly totalDeg: number };

/** One drawn mechanism with other parts, the housing set again. */
export interface Drawn {
  readonly initialDeg: number;
  readonly moveDeg: number;
  readonly rangeDeg: number;
  readonly startRpm: number;
  readonly allInRpm: number;
  readonly advanceAt: (rpm: number) => number;
}

/** Factors with their own chance, the same for every call: two forecasts differ by what is fitted alone. */
function sharesOf({ firstSpring, secondSpring }: Combination, normal: () => number): () => SpringShares {
  return () => {
    const [first, rest, second] = [normal(), normal(), normal()];
    const rate = firstSpring.factor * Math.exp(firstSpring.factorSd * first);
    return {
      rate,
      rest: rate * Math.exp(firstSpring.restSd * rest),
      second: secondSpring ? secondSpring.factor * Math.exp(secondSpring.factorSd * second) : 1,
    };
  };
}

/** The initial timing after the housing is set again, degrees. */
function setAgain(was: { initialDeg: number; rangeDeg: number }, rangeDeg: number, hold: Hold): number {
  if (hold === 'initial') return was.initialDeg;
  if (hold === 'total') return was.initialDeg + (was.rangeDeg - rangeDeg);
  return hold.totalDeg - rangeDeg;
}

/** @param run whose housing setting is gone on from */
export function drawnWith(posterior: Posterior, fitted: Combination, run: number, hold: Hold): Drawn[] {
  const { layout, runs, draws } = posterior;
  const next = sharesOf(fitted, normalChance(evenChance(11)));
  const zeroSdDeg = typeof hold === 'object' ? 0 : (runs[run]!.zeroSdDeg ?? 0); // a total set by the tape reads as set
  const zeroOff = normalChance(evenChance(13));
  const springs = {
    firstSpring: fitted.firstSpring.like,
    secondSpring: fitted.secondSpring?.like ?? null,
  };
  return draws.map((point) => {
    const lumped = lumpedAt(layout, point, springs);
    const shares = next();
    const { stop } = fitted;
    const rangeDeg = 'like' in stop ? rangeAt(layout, point, stop.like) : stop.rangeDeg;
    const was = {
      initialDeg: point[layout.initials[run]!]!,
      rangeDeg: rangeAt(layout, point, runs[run]!.parts.stop),
    };
    const setDeg = setAgain(was, rangeDeg, hold);
    const initialDeg = setDeg + zeroSdDeg * zeroOff();
    return {
      initialDeg,
      moveDeg: setDeg - was.initialDeg,
      rangeDeg,
      startRpm: speedWith(lumped, shares, 0),
      allInRpm: speedWith(lumped, shares, rangeDeg),
      advanceAt: (rpm) => initialDeg + advanceWith(lumped, shares, rpm, rangeDeg),
    };
  });
}

/** The mean curve alone, for comparing many: crank degrees at each speed.
 * @throws RangeError as `forecast` */
export function meanCurve(
  posterior: Posterior,
  fitted: Combination,
  hold: Hold,
  speeds: readonly number[],
  run = 0,
): number[] {
  checkCombination(fitted);
  const drawn = drawnWith(posterior, fitted, run, hold);
  return speeds.map((rpm) => drawn.reduce((sum, each) => sum + each.advanceAt(rpm), 0) / drawn.length);
}

/** @throws RangeError if a factor is not above 0 or a range not between 0 and 90 degrees */
export function checkCombination({ firstSpring, secondSpring, stop }: Combination): void {
  for (const spring of [firstSpring, secondSpring])
    if (spring && !(spring.factor > 0 && spring.factorSd >= 0 && spring.restSd >= 0))
      throw new RangeError(`a spring factor must be above 0 and its spreads 0 or more, got ${spring.factor}`);
  if ('rangeDeg' in stop && !(stop.rangeDeg > 0 && stop.rangeDeg < 90))
    throw new RangeError(`a stop must leave a range between 0 and 90 degrees, got ${stop.rangeDeg}`);
}
