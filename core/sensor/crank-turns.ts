/** Where the crank stands between a sensor's pulses: pulse times in, turns and speed at any time between them, and how
 * well they are known, out. Knows pulses and turns; nothing of sparks. */
import { CrankWindow } from './crank-window';
import { CrankWay, type CrankEstimate } from './crank-way';

/** So many pulses before a time tell of it, and so many after it: more would tell little, and be waited for. */
const BEFORE = 4;
const AFTER = 3;
/** And where none come after. */
const BEFORE_ALONE = 7;
const FEWEST = 3;
/** So many pulses are kept: enough for sparks that are told late. */
const KEPT = 256;
/** Where pulses stand on one side only, nothing is said further from them than this. */
const BEYOND_TURNS = 1.25;
/** No edge is known closer than this, however quiet its channel. */
const LEAST_SD_S = 0.3e-6;

export interface CrankPlace {
  /** Turns since the last pulse at or before that time, 0 to the turns between the two pulses about it; before the
   * first pulse, since the one that would have come before. */
  readonly turns: number;
  /** Standard deviation of turns; and what of it a single pulse would have, turns. */
  readonly sdTurns: number;
  readonly pulseSdTurns: number;
  readonly rpm: number;
  /** Turns since the first pulse of its stretch, and which stretch: pulses of one follow on from each other. */
  readonly allTurns: number;
  readonly stretch: number;
  /** Pulses stood on one side only. */
  readonly isBeyond: boolean;
}

interface Pulse {
  readonly timeS: number;
  readonly sdS: number;
  /** Turns since the first pulse of the stretch. */
  readonly turn: number;
  readonly stretch: number;
  /** The turns before it were counted by something else as well. */
  readonly isCounted: boolean;
}

export class CrankTurns {
  #pulses: Pulse[] = [];
  #stretch = 0;
  readonly #window: CrankWindow;
  readonly #way: CrankWay;
  readonly #estimate: CrankEstimate = { turns: 0, turnsVariance: 0, speed: 0 };
  /** What is laid in the window: its first pulse and its number of pulses, and which of them stands before. */
  #first: Pulse | null = null;
  #before = 0;
  /** The window's unit of time, seconds. */
  #turnS = 1;

  /** @param cycleTurns turns in which every cylinder fires once: 2 of a four-stroke, 1 of a two-stroke */
  constructor(cycleTurns: number) {
    this.#window = new CrankWindow(cycleTurns);
    this.#way = new CrankWay(this.#window);
  }

  /** @param turns since the pulse before; 0: it does not follow on from it @param sdS standard deviation of its time
   * @param isCounted something else counted the turns as well */
  add(timeS: number, turns: number, sdS: number, isCounted = false): void {
    const last = this.#pulses.at(-1);
    if (!last || turns === 0) this.#stretch++;
    const turn = last && turns > 0 ? last.turn + turns : 0;
    this.#pulses.push({ timeS, sdS, turn, stretch: this.#stretch, isCounted });
    if (this.#pulses.length > 2 * KEPT) this.#pulses = this.#pulses.slice(-KEPT);
  }

  /** Whether enough is known for a time, or nothing better will come: three pulses after it. */
  knows(timeS: number): boolean {
    const third = this.#pulses.at(-AFTER);
    return third !== undefined && third.timeS > timeS;
  }

  /** Where the crank stands at a time, by the pulses about it; or by those on one side, a turn and a quarter at most.
   * @param mostTurns a gap between two pulses of more turns says nothing of what lies in it
   * @returns null where no three pulses stand near */
  at(timeS: number, mostTurns: number): CrankPlace | null {
    const after = this.#firstAfter(timeS);
    const [before, next] = [this.#pulses[after - 1], this.#pulses[after]];
    if (before && next && before.stretch === next.stretch)
      return next.turn - before.turn > mostTurns ? null : this.#within(after, timeS);
    return (before && this.#beyond(before, after, timeS)) ?? (next ? this.#beyond(next, after, timeS) : null);
  }

  /** Turns at a time between two pulses, as `allTurns`, by a parabola through three about it: soon and roughly.
   * @param stretch that these pulses must belong to @returns null where they do not
   * @source Newton's divided differences */
  roughly(timeS: number, stretch: number): number | null {
    const after = this.#firstAfter(timeS);
    const [a, b, c] = [this.#pulses[after - 2], this.#pulses[after - 1], this.#pulses[after]];
    if (!a || !b || !c || a.stretch !== stretch || c.stretch !== stretch) return null;
    const first = (b.turn - a.turn) / (b.timeS - a.timeS);
    const bend = ((c.turn - b.turn) / (c.timeS - b.timeS) - first) / (c.timeS - a.timeS);
    return a.turn + (timeS - a.timeS) * (first + (timeS - b.timeS) * bend);
  }

  #firstAfter(timeS: number): number {
    let after = this.#pulses.length;
    while (after > 0 && this.#pulses[after - 1]!.timeS > timeS) after--;
    return after;
  }

  #within(after: number, timeS: number): CrankPlace | null {
    const { stretch } = this.#pulses[after]!;
    const [from, until] = this.#about(after, stretch, BEFORE);
    if (until - from < FEWEST) return null;
    const before = after - 1 - from;
    const window = this.#window;
    if (this.#first !== this.#pulses[from] || window.count !== until - from || this.#before !== before) {
      this.#fill(from, until, before);
      window.lay(window.time[0]!, window.time[window.count - 1]!);
      this.#way.weigh(true);
      [this.#first, this.#before] = [this.#pulses[from]!, before];
    }
    return this.#tell(from, before, before, timeS, false);
  }

  /** By the pulses of one side's stretch alone. @param nearest of them */
  #beyond(nearest: Pulse, after: number, timeS: number): CrankPlace | null {
    const [from, until] = this.#about(after, nearest.stretch, BEFORE_ALONE);
    if (until - from < FEWEST) return null;
    const at = timeS < nearest.timeS ? 0 : until - from - 1;
    const window = this.#window;
    this.#fill(from, until, Math.min(at, until - from - 2));
    const time = this.#timeOf(from, timeS);
    window.lay(Math.min(time, window.time[0]!), Math.max(time, window.time[window.count - 1]!));
    this.#way.weigh(false);
    this.#first = null;
    return this.#tell(from, Math.min(at, until - from - 2), at, timeS, true);
  }

  /** The pulses of a stretch about a place among them. */
  #about(after: number, stretch: number, before: number): readonly [number, number] {
    let from = Math.max(0, after - before);
    let until = Math.min(this.#pulses.length, after + AFTER);
    while (from < until && this.#pulses[from]!.stretch !== stretch) from++;
    while (until > from && this.#pulses[until - 1]!.stretch !== stretch) until--;
    return [from, until];
  }

  /** @param unit of time are the turns after this pulse of the window */
  #fill(from: number, until: number, unit: number): void {
    const [one, other] = [this.#pulses[from + unit]!, this.#pulses[from + unit + 1]!];
    const window = this.#window;
    this.#turnS = (other.timeS - one.timeS) / (other.turn - one.turn);
    window.count = until - from;
    for (let k = 0; k < window.count; k++) {
      const { timeS, turn, sdS } = this.#pulses[from + k]!;
      window.time[k] = this.#timeOf(from, timeS);
      window.turn[k] = turn - this.#pulses[from]!.turn;
      window.isCounted[k] = +(this.#pulses[from + k + 1]?.isCounted ?? false);
      window.variance[k] = (sdS ** 2 + LEAST_SD_S ** 2) / this.#turnS ** 2;
    }
  }

  #timeOf(from: number, timeS: number): number {
    return (timeS - this.#pulses[from]!.timeS) / this.#turnS;
  }

  /** @param unit the pulse after which the time lies, or the last with one after it @param since the pulse from which
   * turns are told */
  #tell(from: number, unit: number, since: number, timeS: number, isBeyond: boolean): CrankPlace | null {
    const { count, turn, time, variance } = this.#window;
    const x = this.#timeOf(from, timeS);
    const isLate = x > (time[unit]! + time[unit + 1]!) / 2;
    const near = Math.max(0, Math.min(count - FEWEST, isLate ? unit : unit - 1));
    const out = this.#estimate;
    this.#way.at(x, near, since, out);
    const turns = out.turns - turn[since]!;
    if (isBeyond && Math.abs(turns) > BEYOND_TURNS) return null;
    const { turn: firstTurn, stretch } = this.#pulses[from]!;
    return {
      turns: isBeyond ? turns - Math.min(0, Math.floor(turns)) : turns,
      sdTurns: Math.sqrt(out.turnsVariance),
      pulseSdTurns: Math.sqrt(variance[since]!),
      rpm: (60 * out.speed) / this.#turnS,
      allTurns: firstTurn + out.turns,
      stretch,
      isBeyond,
    };
  }
}
