/** Strikes and speeds that a decoder gave, against the truth of a made recording: how many are right, how far off the
 * rest. Knows nothing of how strikes are found. */
import type { TrueStrike } from '../../core/scenario/simulate';

export interface Found {
  readonly timeS: number;
  readonly rpm: number | null;
  readonly rpmSd: number | null;
}

export interface Score {
  readonly trueStrikes: number;
  readonly accepted: number;
  readonly matched: number;
  /** Median of found less true: where on the strike's shape its time is taken. */
  readonly offsetS: number;
  /** Robust standard deviation of the rest: 1.4826 times the median deviation. */
  readonly scatterS: number;
  /** The same about each lead's own middle, and how far apart those middles lie: leads have shapes of their own, and what
   * the input's filter hides of how one rises cannot be told. */
  readonly leadScatterS: number;
  readonly leadsApartS: number;
  /** Greatest and all relative speed errors at matched strikes, against the speed at that instant. */
  readonly worstSpeedError: number;
  readonly speedErrors: readonly number[];
  /** Error by the standard deviation said, squared, each; the speed true by the recording's own clock. */
  readonly squaredErrors: readonly number[];
}

/** Found and true may differ by so much once the constant offset is taken off. */
const TOLERANCE_S = 0.3e-3;
/** The offset cannot be larger: a strike's own shape. */
const OFFSET_S = 1e-3;

const median = (values: readonly number[]): number =>
  values.length === 0 ? NaN : [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** An interval's share of time that differs so much from the usual has lost samples in it; clocks differ by far less. */
const LOST_SHARE = 1e-3;

/** How much faster than the engine's time the recording's runs, by all intervals together but those with lost samples: one
 * interval's scatter is many times what a rate is known to. */
function clockOf(fired: readonly TrueStrike[]): number {
  const intervals = fired.slice(1).map((strike, i) => {
    const before = fired[i]!;
    return [strike.timeS! - before.timeS!, strike.engineTimeS - before.engineTimeS] as const;
  });
  const usual = intervals.length === 0 ? 1 : median(intervals.map(([heardS, trueS]) => heardS / trueS));
  const whole = intervals.filter(([heardS, trueS]) => Math.abs(heardS / trueS / usual - 1) < LOST_SHARE);
  const total = (of: 0 | 1): number => whole.reduce((sum, interval) => sum + interval[of], 0);
  return whole.length === 0 ? usual : total(0) / total(1);
}

/** Scatter about each lead's middle, and between the middles. */
function byLead(deviations: readonly number[], leads: readonly number[], count: number): [number, number] {
  const each = Array.from({ length: count }, (_, lead) => deviations.filter((_, i) => leads[i] === lead));
  const middles = each.map(median);
  const off = each.flatMap((own, lead) => own.map((deviation) => Math.abs(deviation - middles[lead]!)));
  return [1.4826 * median(off), Math.max(...middles) - Math.min(...middles)];
}

/** @param found by time @param truth by time; only strikes that fired into the recording count
 * @param leads heard in turn, as on a coil lead */
export function scoreStrikes(found: readonly Found[], truth: readonly TrueStrike[], leads = 1): Score {
  const leadOf = new Map(truth.map((strike, i) => [strike, i % leads]));
  const fired = truth.filter((strike) => strike.fate === 'fired' && strike.timeS !== null);
  const nearest = (timeS: number): TrueStrike | undefined => {
    let [low, high] = [0, fired.length - 1];
    while (low < high) {
      const mid = (low + high) >> 1;
      if (fired[mid]!.timeS! < timeS) low = mid + 1;
      else high = mid;
    }
    const [before, after] = [fired[low - 1], fired[low]];
    if (!before || !after) return after ?? before;
    return timeS - before.timeS! < after.timeS! - timeS ? before : after;
  };
  const clock = clockOf(fired);
  const offsets = found
    .map(({ timeS }) => timeS - (nearest(timeS)?.timeS ?? Infinity))
    .filter((off) => Math.abs(off) < OFFSET_S);
  const offsetS = offsets.length > 0 ? median(offsets) : 0;
  const taken = new Set<TrueStrike>();
  const deviations: number[] = [];
  const deviationLeads: number[] = [];
  const speedErrors: number[] = [];
  const squaredErrors: number[] = [];
  for (const { timeS, rpm, rpmSd } of found) {
    const match = nearest(timeS - offsetS);
    const deviation = match ? timeS - offsetS - match.timeS! : Infinity;
    if (!match || Math.abs(deviation) > TOLERANCE_S || taken.has(match)) continue;
    taken.add(match);
    deviations.push(deviation);
    deviationLeads.push(leadOf.get(match)!);
    if (rpm === null || rpmSd === null) continue;
    speedErrors.push(rpm / match.rpm - 1);
    squaredErrors.push(((rpm - match.rpm / clock) / rpmSd) ** 2);
  }
  const [leadScatterS, leadsApartS] = byLead(deviations, deviationLeads, leads);
  return {
    trueStrikes: fired.length,
    accepted: found.length,
    matched: taken.size,
    offsetS,
    scatterS: 1.4826 * median(deviations.map(Math.abs)),
    leadScatterS,
    leadsApartS,
    worstSpeedError: speedErrors.reduce((worst, each) => Math.max(worst, Math.abs(each)), 0),
    speedErrors,
    squaredErrors,
  };
}
