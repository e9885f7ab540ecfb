/** What may happen to a crank between the pulses of its sensor, how often and how much of it: what is taken for usual before
 * any pulse is heard. */

/** How far the acceleration may wander in a turn, turns a turn squared: from an engine held still to anything at all; and
 * of an engine whose cycles burn unevenly about a speed that it keeps, from hardly to as unevenly as one still runs. */
const FOR_GOOD = [0.0005, 0.001, 0.002, 0.004, 0.008, 0.016, 0.032, 0.064, 0.3];
const SETTLING = [0.008, 0.016, 0.032, 0.064];
export const WANDERS = Float64Array.of(...FOR_GOOD, ...SETTLING);
/** The first of the latter: what one cycle gained the next ones give back. */
export const FIRST_SETTLING = FOR_GOOD.length;
/** Which of them an engine shows is learnt over so many windows; none is ever ruled out. */
export const LEARNT_OVER = 30;
export const LEAST_SHARE = 2e-3;
/** How often things happen: the acceleration jumps once in fifty turns (a throttle that is flicked, the first firing
 * on the starter), a pulse in three thousand stands wrong, an interval in a thousand is counted wrong. Were wrong pulses
 * more usual, they would explain many a rough cycle; of sixty thousand made ones hardly any was wrong. */
export const JUMPS_A_TURN = 0.02;
export const WRONG_SHARE = 0.0003;
export const MISCOUNT_SHARE = 0.001;
/** And one that the strikes of a lead count likewise hardly ever. */
export const COUNTED_WRONG_SHARE = 1e-6;
/** Sound is lost in an interval in a thousand, and the turns with it. */
export const SLIP_SHARE = 0.001;
/** And how large they are: turns a turn squared (a free rev blip is 0.5, an engine that catches on the starter 1); turns. */
export const JUMP_SIZES = [0.05, 0.2, 0.8] as const;
export const WRONG_SIZES = [0.003, 0.05] as const;
export const MISCOUNTS = [1, -1] as const;
export const SLIP_SIZES = [0.03, 0.4] as const;
/** Of an explanation: its odds, the sizes of what happened and their variances. */
export const SIZES = Math.max(JUMP_SIZES.length, WRONG_SIZES.length, MISCOUNTS.length + SLIP_SIZES.length);
