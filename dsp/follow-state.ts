/** What the chain says of the rate, and why it says none. Words only; nothing here computes. */

/** listening: no rate known yet; following: the rate is known; lost: it was known and the strikes stopped fitting. */
export type FollowState = 'listening' | 'following' | 'lost';

/** Why there is no rate. */
export type NoRateReason =
  | 'silence' // every sample zero, or nothing but the converter's own noise
  | 'clipping' // so much of the signal stands at full scale that strikes have no shape
  | 'only hum' // a steady tone at 50 or 60 Hz and nothing that stands out of it
  | 'too weak' // impulses are there, too close to the noise to be told from it
  | 'speech processing' // the level is gated or pumped as a voice filter does it
  | 'no steady beat'; // impulses stand out, but no rate fits them
