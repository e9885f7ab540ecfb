/** Which impulses may be strikes of a beat that was followed back through noise: followed on, little of it is decided anew. */
import type { Candidates } from '../impulses/candidates';

/** Where one is missing, what stands so near its place may be it, in intervals; nearer where one is known. */
const NEAR_MISSING = 0.04;
const NEAR_KNOWN = 0.01;

export class KnownStrikes {
  #next = 0;

  /** @param strikes of `all`, oldest first @param steps intervals since the one before */
  constructor(
    private readonly all: Candidates,
    private readonly strikes: readonly number[],
    private readonly steps: readonly number[],
  ) {}

  /** Whether it is one, may be one that is missing or stood for by noise, or came after them. Asked in order of time. */
  mayBe(candidate: number): boolean {
    const { strikes, steps } = this;
    while (this.#next < strikes.length && strikes[this.#next]! < candidate) this.#next++;
    const next = this.#next;
    if (next === strikes.length || strikes[next] === candidate) return true;
    return (
      this.#isBetween(candidate, next - 1, next, steps[next]!, NEAR_MISSING) ||
      this.#isBetween(candidate, next - 2, next, steps[next - 1]! + steps[next]!, NEAR_KNOWN) ||
      this.#isBetween(candidate, next - 1, next + 1, steps[next]! + steps[next + 1]!, NEAR_KNOWN)
    );
  }

  /** Whether it is one. Asked of the last that was asked for. */
  isOne(candidate: number): boolean {
    return this.strikes[this.#next] === candidate;
  }

  /** Whether it stands where two strikes, so many intervals from each other, have one between them. */
  #isBetween(candidate: number, before: number, after: number, steps: number, near: number): boolean {
    if (before < 0 || after >= this.strikes.length) return false;
    const timeS = (c: number): number => this.all.timeS[this.all.at(c)]!;
    const beforeS = timeS(this.strikes[before]!);
    const place = ((timeS(candidate) - beforeS) / (timeS(this.strikes[after]!) - beforeS)) * steps;
    const nearest = Math.round(place);
    return nearest > 0 && nearest < steps && Math.abs(place - nearest) < near;
  }
}
