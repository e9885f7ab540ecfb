/** A seed and a stream number in, the same random numbers for ever out. For made signals only, never for secrets. */

/** A stream of random numbers. */
export interface Random {
  /** Uniform, 0 <= x < 1, 32 bits. */
  uniform(): number;
  /** Uniform between two bounds. */
  between(low: number, high: number): number;
  /** Standard normal. */
  normal(): number;
  /** Exponential with the given mean: the wait for the next event that comes at random. */
  wait(mean: number): number;
}

/** One 32-bit word of the seeding sequence.
 * @source The finalising mix of MurmurHash3, A. Appleby, public domain (from memory) */
function mixed(word: number): number {
  let x = word | 0;
  x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
  return (x ^ (x >>> 16)) >>> 0;
}

/** Small fast counting generator, 32 bit: three mixed words and a counter, period at least 2^32.
 * @source sfc32, C. Doty-Humphrey, PractRand, public domain (from memory) */
function smallFastCounting(seed: number, stream: number): () => number {
  let a = mixed(seed);
  let b = mixed(Math.floor(seed / 4294967296) + 0x9e3779b9);
  let c = mixed(stream + 0x3c6ef372);
  let counter = 1;
  const next = (): number => {
    const out = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + out) | 0;
    return out >>> 0;
  };
  for (let i = 0; i < 15; i++) next(); // near seeds have near first words
  return next;
}

/** @param seed a whole number, 0 or more; @param stream which of its independent streams
 * @throws RangeError if either is not a whole number, 0 or more */
export function createRandom(seed: number, stream = 0): Random {
  for (const [name, value] of Object.entries({ seed, stream }))
    if (!Number.isSafeInteger(value) || value < 0)
      throw new RangeError(`${name} must be a whole number, 0 or more, got ${value}`);
  const next = smallFastCounting(seed, stream);
  const uniform = (): number => next() / 4294967296;
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    // Box and Muller, Ann. Math. Stat. 29 (1958) 610 (from memory); 1 - u keeps the logarithm finite
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return {
    uniform,
    normal,
    between: (low, high) => low + (high - low) * uniform(),
    wait: (mean) => -mean * Math.log(1 - uniform()),
  };
}
