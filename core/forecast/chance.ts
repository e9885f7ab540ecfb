/** A seed in, the same even random numbers for ever out. For sampling what readings leave open, never for secrets. */

/** Uniform, 0 <= x < 1, 32 bits.
 * @source Counter with a mixing step ("mulberry32"), T. Ettinger, public domain (from memory) */
export function evenChance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let x = Math.imul(state ^ (state >>> 15), state | 1);
    x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
    return ((x ^ (x >>> 14)) >>> 0) / 4294967296;
  };
}

/** Standard normal numbers from even ones.
 * @source G. E. P. Box and M. E. Muller, Ann. Math. Stat. 29 (1958) 610 (from memory) */
export function normalChance(even: () => number): () => number {
  return () => Math.sqrt(-2 * Math.log(1 - even())) * Math.cos(2 * Math.PI * even());
}
