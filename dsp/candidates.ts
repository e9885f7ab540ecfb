/** Impulses that may be strikes: a ring of plain columns, oldest overwritten. Knows no rate. */

const CAPACITY = 4096;
const MASK = CAPACITY - 1;

/** Columns are read with `at(i)`: candidate numbers rise for ever, from `first` to before `end`. */
export class Candidates {
  /** Seconds since the first sample, lost samples counted; between samples. */
  readonly timeS = new Float64Array(CAPACITY);
  /** Peak of the smoothed signal, share of full scale. */
  readonly peak = new Float64Array(CAPACITY);
  /** +1 or -1 */
  readonly sign = new Int8Array(CAPACITY);
  /** Standard deviation of the smoothed noise there. */
  readonly noise = new Float64Array(CAPACITY);
  /** Where it stands among the samples, between them, lost ones not counted. */
  readonly place = new Float64Array(CAPACITY);
  /** Variance of the time, seconds squared. */
  readonly timeVar = new Float64Array(CAPACITY);
  end = 0;

  /** Forgets all; numbers go on from 0. */
  clear(): void {
    this.end = 0;
  }
  get first(): number {
    return Math.max(0, this.end - CAPACITY);
  }
  /** Where a candidate's values stand in the columns. */
  at(number: number): number {
    return number & MASK;
  }
  add(timeS: number, peak: number, sign: number, noise: number, place: number, timeVar: number): void {
    const i = this.end++ & MASK;
    this.timeS[i] = timeS;
    this.peak[i] = peak;
    this.sign[i] = sign;
    this.noise[i] = noise;
    this.place[i] = place;
    this.timeVar[i] = timeVar;
  }
}

/** Whether something taller, of either sign, came within so many seconds before: then this is its kick or ringing. */
export function followsTaller(all: Candidates, candidate: number, withinS: number): boolean {
  const i = all.at(candidate);
  const [timeS, peak] = [all.timeS[i]!, all.peak[i]!];
  for (let b = candidate - 1; b >= all.first && timeS - all.timeS[all.at(b)]! < withinS; b--)
    if (all.peak[all.at(b)]! * 1.05 > peak) return true;
  return false;
}
