/** Strikes that readings of the beat take, each linked to the one before it: candidates in, the way back out. Allocates
 * nothing while a beat is followed. */

export class StrikeNodes {
  readonly candidate: Float64Array;
  readonly before: Float64Array;
  readonly steps: Int32Array;
  readonly slot: Int8Array;
  /** What was paid for it since the one before. */
  readonly spent: Float64Array;
  /** Numbers rise for ever; 0 is none. */
  next = 1;
  readonly #mask: number;

  /** @param size of the ring, a power of two: more than can be undecided at one time */
  constructor(private readonly size: number) {
    this.candidate = new Float64Array(size);
    this.before = new Float64Array(size);
    this.steps = new Int32Array(size);
    this.slot = new Int8Array(size);
    this.spent = new Float64Array(size);
    this.#mask = size - 1;
  }
  /** Whether most of the ring has been written since a node: it will be lost soon. */
  isLong(since: number): boolean {
    return this.next - since > this.size / 2;
  }
  at(node: number): number {
    return node & this.#mask;
  }
  add(candidate: number, before: number, steps: number, slot: number): number {
    const i = this.next & this.#mask;
    this.candidate[i] = candidate;
    this.before[i] = before;
    this.steps[i] = steps;
    this.slot[i] = slot;
    this.spent[i] = Infinity;
    return this.next++;
  }
  /** One node for one strike after another, whichever reading takes it. @param look among so many of the last */
  nodeFor(candidate: number, before: number, steps: number, slot: number, look: number): number {
    for (let node = this.next - 1; node > 0 && node > this.next - look; node--) {
      const i = this.at(node);
      if (this.candidate[i] !== candidate) break;
      if (this.before[i] === before && this.steps[i] === steps) return node;
    }
    return this.add(candidate, before, steps, slot);
  }
  /** What one reading paid for a strike; the least of several counts. */
  pay(node: number, spent: number): void {
    const i = node & this.#mask;
    this.spent[i] = Math.min(this.spent[i]!, spent);
  }
  /** The first one after a node on the way to another; 0 where the two are one. */
  firstAfter(start: number, last: number): number {
    if (last === start) return 0;
    for (let node = last; ;) {
      const before = this.before[this.at(node)]!;
      if (before === start) return node;
      node = before;
    }
  }
}
