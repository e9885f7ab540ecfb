/** What a beat costs that does not quite fit: natural logarithms of likelihood ratios, all 0 or above; 0 fits well.
 * Shared by the search for a beat and the following of it. Nothing here keeps state. */

/** A strike that did not come: one in ten at the worst. */
export const MISS_COST = 2.2;
/** Sound that vanished unseen between two strikes, so that the beat starts anew. */
export const JUMP_COST = 7;
/** An impulse as tall as a strike that belongs to nothing. */
const STRAY_COST = 3.4;
/** Other leads reach 0.65 of a strike: below, an impulse needs no reason. */
const CROSSTALK_SHARE = 0.65;
/** Strikes scatter by up to 30 % in height; natural logarithm. */
const HEIGHT_SCATTER = 0.25;

/** An impulse left out of the beat. @param share its peak by the strike's */
export function leftOutCost(share: number): number {
  if (share <= CROSSTALK_SHARE) return 0;
  const over = (share - CROSSTALK_SHARE) / (1 - CROSSTALK_SHARE);
  return Math.min(STRAY_COST, STRAY_COST * over * over);
}

/** A strike of unusual height: heavy tails, since levels pump. @param logShare logarithm of its peak by the usual
 * @param scatters how many independent scatters it holds */
export function heightCost(logShare: number, scatters = 1): number {
  const z2 = (logShare * logShare) / (HEIGHT_SCATTER * HEIGHT_SCATTER * scatters);
  return 2.5 * Math.log1p(z2 / 5);
}

/** A strike off its time: heavy tails, since engines are blipped. @param z how many deviations off */
export function timingCost(z: number): number {
  return 2 * Math.log1p((z * z) / 3);
}

/** The stretch after a strike in which its own kicks and repeats fall, seconds. @param periodS mean interval
 * @param repeatShare share of it over which a box may repeat the strike */
export function tailS(periodS: number, repeatShare: number): number {
  return Math.min(0.6 * periodS, Math.max(2.6e-3, repeatShare * periodS + 1.3e-3));
}
