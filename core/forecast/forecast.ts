/** The curve of another combination of parts: what the readings leave open and what would be fitted in; the whole
 * curve with its 95 % band, the four figures and what they rest on out. */
import type { Figure } from '../fit';
import { checkCombination, type Combination, type Drawn, drawnWith, type Hold } from './drawn';
import { forecastNotes } from './forecast-notes';
import type { RunParts } from './parameters';
import type { Posterior } from './posterior';
import { figureOf } from './quantiles';

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
  /** Crank degrees by which the housing is then moved, below 0 to retard. */
  readonly moveDeg: Figure | null;
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

/** Which figures the readings show. */
interface Shown {
  readonly initial: boolean;
  readonly start: boolean;
  readonly allIn: boolean;
  readonly total: boolean;
  readonly range: boolean;
  readonly move: boolean;
  readonly sameStop: boolean;
}

function shownIn({ runs, reach }: Posterior, fitted: Combination, hold: Hold, run: number): Shown {
  const { parts } = runs[run]!;
  const { firstSpring, stop } = fitted;
  const { rest, stop: total } = reach[run]!;
  const sameStop = 'like' in stop && stop.like === parts.stop;
  const sameParts = sameStop && firstSpring.like === parts.firstSpring;
  const some = (of: (i: number) => boolean): boolean => [...runs.keys()].some(of);
  const start = some((i) => runs[i]!.parts.firstSpring === firstSpring.like && reach[i]!.rest);
  const range =
    !('like' in stop) || some((i) => runs[i]!.parts.stop === stop.like && reach[i]!.stop && reach[i]!.rest);
  const kept = hold === 'total' ? total : hold === 'initial' ? rest : true;
  return {
    initial: hold === 'total' && sameStop ? rest : kept && (hold === 'initial' || range),
    start,
    allIn: sameParts ? total : start && range,
    total: hold === 'initial' ? (sameStop ? total : rest && range) : kept,
    range,
    move: hold === 'initial' || (hold === 'total' && sameStop) || (rest && total && range),
    sameStop,
  };
}

/** Forecasts the curve of a combination after the housing is set again.
 * @param run whose housing setting is gone on from: its total, or its initial, is what stays
 * @throws RangeError if a factor is not above 0, a range not between 0 and 90 degrees, or no run had a part */
export function forecast(posterior: Posterior, fitted: Combination, hold: Hold, run = 0): Forecast {
  checkCombination(fitted);
  if (!posterior.runs[run])
    throw new RangeError(`wanted a run from 0 to ${posterior.runs.length - 1}, got ${run}`);
  const shown = shownIn(posterior, fitted, hold, run);
  const drawn = drawnWith(posterior, fitted, run, hold);
  const over = (of: (each: Drawn) => number): Figure => figureOf(drawn.map(of));
  const at = (rpm: number): Figure => over((each) => each.advanceAt(rpm));
  const [allIn, range] = [over((each) => each.allInRpm), over((each) => each.rangeDeg)];
  const beyondDeg = Math.max(0, range.value - readWith(posterior, fitted));
  const findings = {
    posterior,
    run,
    fitted,
    hold,
    sameStop: shown.sameStop,
    rangeDeg: range.value,
    beyondDeg,
  };
  return {
    initialDeg: shown.initial ? over((each) => each.initialDeg) : null,
    startRpm: shown.start ? over((each) => each.startRpm) : null,
    allInRpm: shown.allIn ? allIn : null,
    totalDeg: shown.total ? over((each) => each.initialDeg + each.rangeDeg) : null,
    rangeDeg: shown.range ? range : null,
    curve: curveOf(at, allIn),
    moveDeg: shown.move ? over((each) => each.moveDeg) : null,
    hold,
    beyondDeg,
    beyondShare: beyondDeg / range.value,
    notes: forecastNotes(findings),
    at,
  };
}

/** How far up the ramp readings with these springs went, crank degrees. */
function readWith({ runs, reach }: Posterior, { firstSpring, secondSpring }: Combination): number {
  const most = (is: (parts: RunParts) => boolean): number =>
    Math.max(0, ...runs.map(({ parts }, i) => (is(parts) ? reach[i]!.readDeg : 0)));
  const first = most((parts) => parts.firstSpring === firstSpring.like);
  return secondSpring
    ? Math.min(
        first,
        most((parts) => parts.secondSpring === secondSpring.like),
      )
    : first;
}
