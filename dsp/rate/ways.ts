/** How likely each way is in which a hypothesis may read the next strike, and how often strikes are missing. Times and a
 * hypothesis in, natural logarithms of likelihoods out. Allocates nothing. */
import {
  CHANGED,
  DOUBLED,
  HALVED,
  halfwayIn,
  isOfFew,
  LONGEST_SLIP_S,
  mayBeDoubled,
  MISSES_IN_A_CUT,
  ON_TIME,
  SLIPPED,
  slippedOf,
  STRAY,
  WAYS,
  type Hypothesis,
  type Seen,
} from './hypothesis';
import type { RateBank } from './rate-bank';

/** Lost blocks a second, and how much rarer one is straight after another, two at once, or on a ramp. */
const SLIPS_PER_S = 0.01;
const SLIP_AFTER_SLIP = 0.03;
const SECOND_SLIP = 0.01;
const SLIP_AFTER_RAMP = 1e-3;
/** Chance that the beat was taken up at a wrong place. */
const WRONG_PLACE_CHANCE = 1e-4;
/** Chance that the engine is at once at another speed, at a strike and in a second at the most, anywhere within this
 * natural logarithm either way. */
const CHANGE_CHANCE = 4e-3;
const CHANGES_PER_S = 0.04;
const CHANGE_REACH = 2.2;
/** No engine gains or loses so much in a second, by the rate below which it is as restless as can be; where it seems to, the
 * beat was followed wrongly. */
const STEEPEST = 45;
const WRONGLY_FOLLOWED_CHANCE = 1e-4;
/** Chance that it was taken for twice as fast as it goes, by a rate that is known of few strikes, and by another. No engine
 * goes half as fast at once. */
const HALVED_CHANCE = 3e-4;
const HALVED_LATER_CHANCE = 1e-5;
/** Chance that a beat was taken up of which every other strike was missing, which no engine keeps up for long: from so many
 * strikes on it fades with each, natural logarithm. */
const DOUBLED_CHANCE = 1e-4;
const DOUBLED_STRIKES = 6;
const DOUBLED_FADES = 0.7;

/** Chance that a strike just halfway between two others is none, where a lead fires that others are a whole turn from. What
 * comes elsewhere is of no engine twice as fast either, and left to the other ways. */
const STRAY_CHANCE = 1e-5;
/** A strike may be halfway that comes so many intervals from there at the most. */
const NEAR_HALFWAY = 0.3;

/** Misses among strikes before any is seen, how many strikes back they count, and their share at the most. */
const MISSES_AT_FIRST = 0.4;
const STRIKES_AT_FIRST = 20;
const MISSES_COUNT_FOR = 200;
/** However long none was missing: misses come together. */
const LEAST_MISSES = 0.01;
const MOST_MISSES = 0.15;
/** While a limiter cuts, another cut is as usual as none, of as many intervals as the beat is followed by. */
const CUT_AGAIN_CHANCE = 0.3;

/** How often a strike is missing, by those of which it is settled how they are read. */
export class MissShare {
  #missed = MISSES_AT_FIRST;
  #counted = STRIKES_AT_FIRST;

  /** @param missed whether any was missing before a strike */
  learn(missed: boolean): void {
    if (missed) this.#missed++;
    if (++this.#counted <= MISSES_COUNT_FOR) return;
    this.#missed *= 0.5;
    this.#counted *= 0.5;
  }

  /** Natural logarithm of the chance of one. */
  get log(): number {
    return Math.log(Math.max(LEAST_MISSES, Math.min(MOST_MISSES, this.#missed / this.#counted)));
  }
}

/** Intervals since the strike before, by a hypothesis that has predicted it. */
export const intervalsOf = ({ bank, way }: Hypothesis): number =>
  way === CHANGED && bank.advance < 1.8 ? 1 : Math.max(1, Math.round(bank.advance));

/** Compares the strike with a hypothesis that has predicted it.
 * @param ramped the strike before told of a ramp @param logMiss of one miss
 * @param cutSteps intervals that a limiter's cut took, as the beat is followed; 0: it does not cut
 * @param scores by way, from `at` on: the hypothesis's likelihood by them, those of all ways to be compared
 * @returns the best of them */
export function weighWays(
  hypothesis: Hypothesis,
  { number, intervals, dtS, timeVar }: Seen,
  ramped: boolean,
  logMiss: number,
  cutSteps: number,
  scores: Float64Array,
  at: number,
): number {
  const { bank, logP, way } = hypothesis;
  const halfway = halfwayChance(hypothesis, timeVar); // before what the ways on time are told by is compared
  const onTime = bank.compare(intervals, timeVar);
  const changes = way !== CHANGED && Math.abs(Math.log(bank.advance)) < CHANGE_REACH;
  const missed = Math.min(MISSES_IN_A_CUT, intervals - 1) * logMiss;
  const cut = intervals === cutSteps ? Math.max(missed, Math.log(CUT_AGAIN_CHANCE)) : missed;
  scores[at + ON_TIME] = logP + onTime + cut;
  scores[at + SLIPPED] = logP + slipping(way === SLIPPED, ramped, slippedOf(bank.advance, dtS), dtS);
  scores[at + CHANGED] = changes ? logP + changing(bank, dtS) : -Infinity;
  scores[at + HALVED] = intervals === 2 ? logP + onTime + halving(hypothesis, number) : -Infinity;
  scores[at + DOUBLED] = logP + doubling(hypothesis, number, halfway);
  scores[at + STRAY] = logP + straying(hypothesis, number, halfway);
  let best = -Infinity;
  for (let w = 0; w < WAYS; w++) best = Math.max(best, scores[at + w]!);
  return best;
}

/** Density of a strike halfway between two places, by seconds; far from there none. */
function halfwayChance(hypothesis: Hypothesis, timeVar: number): number {
  const { bank } = hypothesis;
  const halfway = halfwayIn(hypothesis);
  return Math.abs(bank.advance - halfway) > NEAR_HALFWAY ? 0 : Math.exp(bank.compare(halfway, timeVar));
}

/** @param halfway density of a strike halfway between two places, by seconds */
function doubling(hypothesis: Hypothesis, number: number, halfway: number): number {
  if (!mayBeDoubled(hypothesis, number)) return -Infinity;
  return Math.log(DOUBLED_CHANCE * halfway) - DOUBLED_FADES * Math.max(0, number - DOUBLED_STRIKES);
}

/** Of few strikes every other one may be missing; and a second one halfway soon after, or one where strikes were read as of
 * an engine half as fast, tells that it goes twice as fast after all. */
function straying({ way, ways }: Hypothesis, number: number, halfway: number): number {
  const mayBe =
    way !== CHANGED && number > DOUBLED_STRIKES && !ways.includes(STRAY) && !ways.includes(HALVED);
  return mayBe ? Math.log(STRAY_CHANCE * halfway) : -Infinity;
}

const halving = (hypothesis: Hypothesis, number: number): number =>
  Math.log(isOfFew(hypothesis, number) ? HALVED_CHANCE : HALVED_LATER_CHANCE);

function changing({ rateHz, slowS }: RateBank, dtS: number): number {
  const usual = Math.min(CHANGE_CHANCE / dtS, CHANGES_PER_S) / (2 * CHANGE_REACH);
  const canBe = Math.abs(1 / dtS - rateHz) * slowS < STEEPEST * dtS;
  return Math.log(canBe ? usual : WRONGLY_FOLLOWED_CHANCE * usual);
}

function slipping(again: boolean, ramped: boolean, slipS: number, dtS: number): number {
  if (slipS >= 2 * LONGEST_SLIP_S) return Math.log(WRONG_PLACE_CHANCE / dtS);
  const rarer =
    (again ? SLIP_AFTER_SLIP : 1) *
    (ramped ? SLIP_AFTER_RAMP : 1) *
    (slipS > LONGEST_SLIP_S ? SECOND_SLIP : 1);
  return Math.log((SLIPS_PER_S * dtS * rarer) / LONGEST_SLIP_S);
}
