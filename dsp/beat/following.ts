/** How a beat is followed, by how clearly its strikes stand out of the noise. Plain figures. */
import { JUMP_COST, MISS_COST } from './beat-costs';
import { LEAST_SCATTER, MOST_SCATTER } from './beat-period';

export interface Following {
  /** Relative deviation of an interval that is never called unusual. */
  readonly leastScatter: number;
  /** Relative deviation beyond which a strike is unusual however rough the engine runs. */
  readonly mostScatter: number;
  /** What a strike that did not come costs. */
  readonly missCost: number;
  /** How fast the usual height follows the last, logarithm. */
  readonly levelGain: number;
  /** What it costs that the beat starts anew, since sound was lost. */
  readonly jumpCost: number;
  /** Where doubt remains, wait so many intervals, then go by the best. */
  readonly longestWait: number;
}

/** How carefully a beat is followed, whatever it is followed by. */
export interface Care {
  /** Readings of it side by side. */
  readonly readings: number;
  /** A strike is decided when every reading without it costs so much more. */
  readonly decidedLead: number;
  /** Where doubt remains, so many times the longest wait. */
  readonly waits: number;
  /** Strikes that readings may take until they are decided, a power of two. */
  readonly nodes: number;
}

/** While sound comes. */
export const LIVE: Care = { readings: 24, decidedLead: 4.5, waits: 1, nodes: 1 << 15 };
/** Once, over what is there: where a sweep begins among noise the right way may be the fiftieth for some strikes. */
export const THOROUGH: Care = { readings: 96, decidedLead: 12, waits: 2, nodes: 1 << 18 };

export const CLEARLY: Following = {
  leastScatter: LEAST_SCATTER,
  mostScatter: MOST_SCATTER,
  missCost: MISS_COST,
  levelGain: 0.3,
  jumpCost: JUMP_COST,
  longestWait: 3.3,
};

/** Among noise as tall as strikes: a strike unseen is one hidden by noise, and no single height says much. */
const WEAKLY: Following = {
  leastScatter: 2e-3,
  mostScatter: 0.03,
  missCost: 3.5,
  levelGain: 0.08,
  jumpCost: 10,
  longestWait: 6,
};
/** Strikes so many times over the noise are as weak, and as clear, as that. */
const WEAK_AT = 5;
const CLEAR_AT = 10;

/** @param overNoise usual strike by the noise's deviation, both by the learnt shape */
export function followingAt(overNoise: number): Following {
  const share = Math.max(0, Math.min(1, (overNoise - WEAK_AT) / (CLEAR_AT - WEAK_AT)));
  const between = (weak: number, clear: number): number => weak * (clear / weak) ** share;
  return {
    leastScatter: between(WEAKLY.leastScatter, CLEARLY.leastScatter),
    mostScatter: between(WEAKLY.mostScatter, CLEARLY.mostScatter),
    missCost: between(WEAKLY.missCost, CLEARLY.missCost),
    levelGain: between(WEAKLY.levelGain, CLEARLY.levelGain),
    jumpCost: between(WEAKLY.jumpCost, CLEARLY.jumpCost),
    longestWait: between(WEAKLY.longestWait, CLEARLY.longestWait),
  };
}
