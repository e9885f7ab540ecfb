/** How many turns lie between two pulses: the time between them and the rate that is followed in, a whole count out. The
 * turn before decides: a rate that has just met a gap may be slow by a factor for a few pulses. */

/** Off a whole count by less than this, in turns, a count by the turn before is believed. */
const NEAR = 0.2;
/** A count by the turn before that keeps gainsaying the rate is given up after so many pulses. */
const MOST_DISPUTES = 4;

export class TurnCount {
  #turnS: number | null = null;
  #disputes = 0;

  /** The pulse that comes next does not follow on from those before. */
  startAnew(): void {
    this.#turnS = null;
    this.#disputes = 0;
  }

  /** @param sinceS since the pulse before @param rateHz pulses a second as followed; null: not known
   * @returns whole turns; 0 where neither tells */
  between(sinceS: number, rateHz: number | null): number {
    const turns = this.#decide(sinceS, rateHz === null ? null : Math.round(sinceS * rateHz));
    this.#turnS = turns > 0 ? sinceS / turns : null;
    return turns;
  }

  #decide(sinceS: number, byRate: number | null): number {
    if (this.#turnS === null) return byRate ?? 0;
    const exact = sinceS / this.#turnS;
    const byTurn = Math.round(exact);
    if (byTurn === byRate) this.#disputes = 0;
    else if (byRate !== null) this.#disputes++;
    const isNear = byTurn > 0 && Math.abs(exact - byTurn) < NEAR;
    if (byRate === null || (isNear && this.#disputes <= MOST_DISPUTES)) return byTurn;
    return byRate;
  }
}
