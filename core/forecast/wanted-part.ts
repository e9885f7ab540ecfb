/** Where no part owned will do: which range of a stop, or how strong a set of springs, would. What the runs leave open,
 * the best combination owned and the target in; the part to look for out. */
import { targetAt } from '../target';
import { type Combination, meanCurve } from './drawn';
import type { Posterior } from './posterior';
import { comparedSpeeds, type Ranked, type Wanted } from './search';

export interface WantedPart {
  /** What would have to be other than in the combination it starts from. */
  readonly change: 'stop' | 'springs' | 'both';
  /** Crank degrees that the stop must leave; null: the stop may stay. */
  readonly rangeDeg: number | null;
  /** All spring forces times this; null: the springs may stay. */
  readonly factor: number | null;
  /** How far the curve would still leave the band, degrees. */
  readonly beyondBandDeg: number;
  readonly text: string;
}

const FACTORS = Array.from({ length: 25 }, (_, i) => 0.3 * (3.2 / 0.3) ** (i / 24));
const RANGES_DEG = Array.from({ length: 31 }, (_, i) => 6 + i);
const DRAWS = 40;
/** Less than this is within what a part can be made to. */
const GOOD_ENOUGH_DEG = 0.05;

interface Try {
  readonly factor: number;
  readonly rangeDeg: number | null;
  readonly worstDeg: number;
}

/** The largest distance of the mean curve from the target's middle, degrees. */
function worstOff(
  posterior: Posterior,
  fitted: Combination,
  { target }: Wanted,
  speeds: readonly number[],
): number {
  const curve = meanCurve(posterior, fitted, { totalDeg: targetAt(target, Infinity) }, speeds);
  return Math.max(...speeds.map((rpm, i) => Math.abs(curve[i]! - targetAt(target, rpm))));
}

const scaled = ({ springs, stop }: Ranked, { factor, rangeDeg }: Omit<Try, 'worstDeg'>): Combination => {
  const { firstSpring, secondSpring } = springs.choice!;
  return {
    firstSpring: { ...firstSpring, factor: firstSpring.factor * factor },
    secondSpring: { ...secondSpring, factor: secondSpring.factor * factor },
    stop: rangeDeg === null ? stop.choice! : { rangeDeg },
  };
};

/** The best on a grid, then on a finer one about it. */
function bestOf(
  score: (factor: number, rangeDeg: number | null) => number,
  factors: readonly number[],
  ranges: readonly (number | null)[],
): Try {
  const best = (f: readonly number[], r: readonly (number | null)[]): Try =>
    f
      .flatMap((factor) => r.map((rangeDeg) => ({ factor, rangeDeg, worstDeg: score(factor, rangeDeg) })))
      .reduce((a, b) => (b.worstDeg < a.worstDeg ? b : a));
  const first = best(factors, ranges);
  const finer = (n: number): number[] =>
    Array.from({ length: n }, (_, i) => (i - (n - 1) / 2) / ((n - 1) / 2));
  return best(
    factors.length > 1 ? finer(9).map((step) => first.factor * 1.1 ** step) : factors,
    first.rangeDeg === null ? [null] : finer(5).map((step) => Math.max(1, first.rangeDeg! + step)),
  );
}

const CHANGES = ['stop', 'springs', 'both'] as const;

/** @param best the combination to start from: the first of a search
 * @returns the least change that brings the curve into the band; where even both changes do not, what comes nearest;
 * null where the combination stays inside already
 * @throws RangeError if the target has no corners */
export function wantedPart(posterior: Posterior, best: Ranked, wanted: Wanted): WantedPart | null {
  if (best.beyondBandDeg === 0) return null;
  const every = Math.max(1, Math.floor(posterior.draws.length / DRAWS));
  const few = { ...posterior, draws: posterior.draws.filter((_, i) => i % every === 0) };
  const speeds = comparedSpeeds(wanted.target, wanted.idleRpm).filter((_, i) => i % 2 === 0);
  const score = (factor: number, rangeDeg: number | null): number =>
    worstOff(few, scaled(best, { factor, rangeDeg }), wanted, speeds);
  let last: WantedPart | null = null;
  for (const change of CHANGES) {
    const found = bestOf(
      score,
      change === 'stop' ? [1] : FACTORS,
      change === 'springs' ? [null] : change === 'stop' ? RANGES_DEG : rangesNear(wanted),
    );
    last = partOf(change, found, best, wanted);
    if (last.beyondBandDeg <= GOOD_ENOUGH_DEG) break;
  }
  return last;
}

/** About what the target itself rises by. */
function rangesNear({ target }: Wanted): number[] {
  const rise = targetAt(target, Infinity) - targetAt(target, 0);
  return [-3, -2, -1, 0, 1, 2, 3, 5].map((more) => Math.max(2, rise + more));
}

function partOf(change: WantedPart['change'], found: Try, best: Ranked, { target }: Wanted): WantedPart {
  const rangeDeg = change === 'springs' ? null : found.rangeDeg;
  const factor = change === 'stop' ? null : found.factor;
  const beyondBandDeg = Math.max(0, found.worstDeg - target.bandDeg);
  const stop =
    rangeDeg === null ? `with ${best.stop.name}` : `a stop that leaves ${rangeDeg.toFixed(1)} degrees`;
  const springs =
    factor === null
      ? `with ${best.springs.name}`
      : `springs ${factor.toFixed(2)} times as strong as ${best.springs.name}`;
  const parts =
    change === 'stop'
      ? `${stop}, ${springs},`
      : `${springs}, ${change === 'both' ? `and ${stop},` : `${stop},`}`;
  const result =
    beyondBandDeg <= GOOD_ENOUGH_DEG
      ? 'would bring the curve into the band'
      : `would come nearest, ${beyondBandDeg.toFixed(1)} degrees outside the band`;
  const text = `None of the parts will do. ${parts[0]!.toUpperCase()}${parts.slice(1)} ${result} (the worst ${found.worstDeg.toFixed(1)} degrees from the target).`;
  return { change, rangeDeg, factor, beyondBandDeg, text };
}
