/** What a beat costs that does not quite fit: natural logarithms of likelihood ratios, all 0 or above; 0 fits well.
 * Shared by the search for a beat and the following of it. Nothing here keeps state. */

/** A strike that did not come: one in ten at the worst. */
export const MISS_COST = 2.2;
/** Sound that vanished unseen between two strikes, so that the beat starts anew. */
export const JUMP_COST = 7;
/** An impulse as tall as a strike that belongs to nothing. */
const STRAY_COST = 3.4;
/** Other leads reach 0.65 of a strike: below, an impulse needs no reason. */
export const CROSSTALK_SHARE = 0.65;
/** Strikes scatter by up to 30 % in height, cut at twice that; upwards the logarithm tells. */
const LOWER_SCATTER = 0.3;
const UPPER_SCATTER = 0.27;
const LEAST_SHARE = 0.4;

/** An impulse left out of the beat. @param share its peak by the strike's @param others how tall other leads are */
export function leftOutCost(share: number, others = CROSSTALK_SHARE): number {
  if (share <= others) return 0;
  const over = (share - others) / (1 - CROSSTALK_SHARE);
  return Math.min(STRAY_COST, STRAY_COST * over * over);
}

/** An impulse of the other sign is taken for so much less: a strike swings back. */
export const OTHER_SIGN = 0.75;

/** A strike of unusual height: heavy tails, since levels pump. @param share its peak by the usual */
export function heightCost(share: number): number {
  const z = share < 1 ? (1 - share) / LOWER_SCATTER : Math.log(share) / UPPER_SCATTER;
  const under = Math.max(0, (LEAST_SHARE - share) / 0.08);
  return 2.5 * Math.log1p((z * z) / 5) + Math.min(4, 0.5 * under * under);
}

/** Two strikes of unlike height. @param logRatio logarithm of one peak by the other @param looseness how many times the
 * usual scatter is allowed */
export function unlikeCost(logRatio: number, looseness: number): number {
  const z = logRatio / (0.45 * looseness);
  return 2.5 * Math.log1p((z * z) / 5);
}

/** A strike off its time: heavy tails, since engines are blipped. @param z how many deviations off */
export function timingCost(z: number): number {
  return Math.min(8, 2 * Math.log1p((z * z) / 3));
}

/** The stretch after a strike in which a box may repeat it as tall as it was, seconds: about every millisecond, or not at
 * all. @param periodS mean interval @param repeatShare share of it over which a box may repeat the strike */
export function repeatsS(periodS: number, repeatShare: number): number {
  const spanS = repeatShare * periodS;
  return spanS < LEAST_SPAN_S ? RINGS_S : Math.min(0.6 * periodS, 1.05 * spanS + RINGS_S);
}

/** The stretch over which a box may repeat a strike, seconds; 0 where none does so. */
export function repeatsOverS(periodS: number, repeatShare: number): number {
  const spanS = repeatShare * periodS;
  return spanS < LEAST_SPAN_S ? 0 : 1.05 * spanS;
}

/** The stretch after a strike in which its own kicks and those of its repeats fall, seconds.
 * @param mostShare of the mean interval at the most: beyond, the next strike may come */
export function tailS(periodS: number, repeatShare: number, mostShare = 0.6): number {
  const repeats = repeatsS(periodS, repeatShare);
  return Math.max(repeats, Math.min(mostShare * periodS, repeats - RINGS_S + KICK_S));
}

/** The spark goes out, and kicks, so long after the strike at the latest, and no taller than this by the strike. */
export const KICK_S = 2.6e-3;
export const KICK_SHARE = 0.85;
/** A strike's own swings last so long; a box repeats it no sooner than this. */
const RINGS_S = 0.35e-3;
const LEAST_SPAN_S = 1e-3;
