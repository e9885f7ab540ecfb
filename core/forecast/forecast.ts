/** The curve of another combination of parts: what the readings leave open and what would be fitted in; the whole
 * curve with its 95 % band, the four figures and what they rest on out. */
import type { Figure } from '../fit';
import { evenChance, normalChance } from './chance';
import { forecastNotes } from './forecast-notes';
import { advanceWith, speedWith, type SpringShares } from './lumped';
import { lumpedAt, rangeAt } from './parameters';
import type { Posterior } from './posterior';
import { figureOf } from './quantiles';

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

export type Hold = 'total' | 'initial';

export interface ForecastRow {
  readonly rpm: number;
  readonly advanceDeg: number;
  readonly low: number;
  readonly high: number;
}

/** Figures are null where the readings do not show them. */
export interface Forecast {
  readonly initialDeg: Figure | null;
  readonly startRpm: Figure | null;
  readonly allInRpm: Figure | null;
  readonly totalDeg: Figure | null;
  readonly rangeDeg: Figure | null;
  readonly curve: readonly ForecastRow[];
  /** What the housing is set again for. */
  readonly hold: Hold;
  /** Crank degrees of the range that no reading with these parts reached, and their share of the range. */
  readonly beyondDeg: number;
  readonly beyondShare: number;
  /** Plain sentences. */
  readonly notes: readonly string[];
  /** The mean curve with its band at any speed. */
  readonly at: (rpm: number) => Figure;
}

/** One drawn mechanism with other parts, the housing set again. */
interface Drawn {
  readonly initialDeg: number;
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

function drawnWith(posterior: Posterior, fitted: Combination, run: number, hold: Hold): Drawn[] {
  const { layout, runs, draws } = posterior;
  const next = sharesOf(fitted, normalChance(evenChance(11)));
  const springs = {
    firstSpring: fitted.firstSpring.like,
    secondSpring: fitted.secondSpring?.like ?? null,
  };
  return draws.map((point) => {
    const lumped = lumpedAt(layout, point, springs);
    const shares = next();
    const { stop } = fitted;
    const rangeDeg = 'like' in stop ? rangeAt(layout, point, stop.like) : stop.rangeDeg;
    const before = point[layout.initials[run]!]!;
    const wasRange = rangeAt(layout, point, runs[run]!.parts.stop);
    const initialDeg = hold === 'total' ? before + wasRange - rangeDeg : before;
    return {
      initialDeg,
      rangeDeg,
      startRpm: speedWith(lumped, shares, 0),
      allInRpm: speedWith(lumped, shares, rangeDeg),
      advanceAt: (rpm) => initialDeg + advanceWith(lumped, shares, rpm, rangeDeg),
    };
  });
}

const STEP_RPM = 50;
const FIRST_RPM = 600;
const PAST_RPM = 200;
const LAST_RPM = 12_000;

function curveOf(at: (rpm: number) => Figure, allIn: Figure): ForecastRow[] {
  const last = Math.min(LAST_RPM, Math.max(FIRST_RPM, allIn.high) + PAST_RPM);
  const rows: ForecastRow[] = [];
  for (let rpm = FIRST_RPM; rpm < last + STEP_RPM; rpm += STEP_RPM) {
    const { value, low, high } = at(rpm);
    rows.push({ rpm, advanceDeg: value, low, high });
  }
  return rows;
}

function checkCombination({ firstSpring, secondSpring, stop }: Combination): void {
  for (const spring of [firstSpring, secondSpring])
    if (spring && !(spring.factor > 0 && spring.factorSd >= 0 && spring.restSd >= 0))
      throw new RangeError(`a spring factor must be above 0 and its spreads 0 or more, got ${spring.factor}`);
  if ('rangeDeg' in stop && !(stop.rangeDeg > 0 && stop.rangeDeg < 90))
    throw new RangeError(`a stop must leave a range between 0 and 90 degrees, got ${stop.rangeDeg}`);
}

/** Forecasts the curve of a combination after the housing is set again.
 * @param run whose housing setting is gone on from: its total, or its initial, is what stays
 * @throws RangeError if a factor is not above 0, a range not between 0 and 90 degrees, or no run had a part */
export function forecast(posterior: Posterior, fitted: Combination, hold: Hold, run = 0): Forecast {
  checkCombination(fitted);
  const seen = posterior.reach[run]!;
  const { parts } = posterior.runs[run]!;
  const sameStop = 'like' in fitted.stop && fitted.stop.like === parts.stop;
  const drawn = drawnWith(posterior, fitted, run, hold);
  const over = (of: (each: Drawn) => number): Figure => figureOf(drawn.map(of));
  const show = (shown: boolean, of: (each: Drawn) => number): Figure | null => (shown ? over(of) : null);
  const rangeKnown = 'rangeDeg' in fitted.stop || stopSeen(posterior, fitted.stop.like);
  const initialKnown = hold === 'initial' || sameStop ? seen.rest : seen.stop && rangeKnown;
  const at = (rpm: number): Figure => over((each) => each.advanceAt(rpm));
  const range = over((each) => each.rangeDeg);
  const beyondDeg = Math.max(0, range.value - readWith(posterior, fitted));
  return {
    initialDeg: show(initialKnown, (each) => each.initialDeg),
    startRpm: show(seen.rest, (each) => each.startRpm),
    allInRpm: show(sameStop ? seen.stop : seen.rest && rangeKnown, (each) => each.allInRpm),
    totalDeg: show(
      hold === 'total' ? seen.stop : seen.rest && rangeKnown,
      (each) => each.initialDeg + each.rangeDeg,
    ),
    rangeDeg: rangeKnown ? range : null,
    curve: curveOf(
      at,
      over((each) => each.allInRpm),
    ),
    hold,
    beyondDeg,
    beyondShare: beyondDeg / range.value,
    notes: forecastNotes({
      ...{ posterior, run, fitted, hold, sameStop },
      ...{ rangeDeg: range.value, beyondDeg },
    }),
    at,
  };
}

const stopSeen = (posterior: Posterior, stop: string): boolean =>
  posterior.runs.some(({ parts }, run) => parts.stop === stop && posterior.reach[run]!.stop);

/** How far up the ramp readings with the same springs went, crank degrees. */
function readWith(posterior: Posterior, { firstSpring, secondSpring }: Combination): number {
  const reached = posterior.runs.map(({ parts }, run) => {
    const same =
      parts.firstSpring === firstSpring.like && parts.secondSpring === (secondSpring?.like ?? null);
    return same ? posterior.reach[run]!.readDeg : 0;
  });
  return Math.max(...reached);
}
