/** Pulses of a crank sensor and strikes of a lead in; the pulses out, the turns between them counted by the strikes where
 * these tell, and with those that stand in the sound at a whole turn but were not followed. Knows times and turns. */
import type { StrikeTurns } from './strike-turns';

export interface SensorPulse {
  readonly timeS: number;
  readonly sdS: number;
  /** With its sign. */
  readonly height: number;
}
export interface HeardPulse extends SensorPulse {
  /** Turns since the pulse before, by the pulses alone; 0: it does not follow on from it. */
  readonly turns: number;
}

/** By strikes a whole number of turns is believed where they come as near to it, turns. A lead's advance may change, and the
 * speed within a firing interval is not quite known. */
const NEAR = 0.2;
/** What was not followed must stand this near to where a pulse is due. */
const DUE = 0.1;
/** And be as tall as this share of the lower of both pulses beside it, or taller than the higher by no more. */
const TALL = 0.6;
/** Pulses that did not follow on from each other do so over so many turns, where strikes count them. */
const MOST_JOINED = 6;
/** So many pulses in a row may be counted otherwise than by the pulses alone. */
const MOST_DISPUTES = 6;
/** What stands so far from the middle between two pulses, shares of the time between them, is no pulse at a half. */
const MIDDLE_SHARE = 0.08;
/** A pulse waits no longer for the strikes after it. */
const WAITS_S = 4;

export class CountedPulses {
  #waiting: HeardPulse[] = [];
  #last: HeardPulse | null = null;
  /** How often in a row both told another number; as often as may be, where the strikes told none. */
  #disputes = MOST_DISPUTES;
  /** Something stood in the middle before the last pulse. */
  #hadMiddle = false;

  /** @param standing what stands in the sensor's sound between two times as pulses do, in order of time, at least so high
   * @param tell called for each pulse, in order of time: turns since the one before, and whether the strikes counted them */
  constructor(
    private readonly strikes: StrikeTurns,
    private readonly standing: (fromS: number, untilS: number, leastHeight: number) => readonly SensorPulse[],
    private readonly tell: (timeS: number, turns: number, sdS: number, isCounted: boolean) => void,
  ) {}

  /** @param pulse is copied */
  add({ timeS, sdS, height, turns }: HeardPulse): void {
    this.#waiting.push({ timeS, sdS, height, turns });
  }

  /** Tells the pulses that strikes stand about by now. @param nowS how far both channels were heard; Infinity: to the end */
  settle(nowS: number): void {
    let told = 0;
    for (; told < this.#waiting.length; told++) {
      const pulse = this.#waiting[told]!;
      const next = this.#waiting[told + 1];
      const waits = nowS - pulse.timeS < WAITS_S;
      if (waits && pulse.timeS >= this.strikes.knownUntilS) break;
      const hasMiddle = this.#hasMiddle(this.#last, pulse);
      if (waits && hasMiddle && !next) break;
      const isHalf = hasMiddle && (this.#hadMiddle || (!!next && this.#hasMiddle(pulse, next)));
      if (isHalf) this.tell(pulse.timeS, 0, pulse.sdS, false);
      else this.#settle(pulse);
      this.#hadMiddle = hasMiddle;
      this.#last = pulse;
    }
    if (told > 0) this.#waiting.splice(0, told);
  }

  #settle(pulse: HeardPulse): void {
    const { timeS, turns, sdS } = pulse;
    const counted = this.#count(pulse);
    if (counted === null) this.#disputes = MOST_DISPUTES;
    else if (counted === turns) this.#disputes = 0;
    else this.#disputes++;
    if (counted === null) this.tell(timeS, turns, sdS, false);
    else this.tell(timeS, counted - this.#fill(this.#last!, pulse, counted), sdS, true);
  }

  /** Turns since the pulse before by the strikes; another number than by the pulses only where both agreed a few pulses
   * before: where half the sparks are missing strikes make half the turns, and half turns from pulse to pulse. */
  #count({ timeS, turns }: HeardPulse): number | null {
    const counted = this.#last && this.#whole(this.#last.timeS, timeS, NEAR);
    if (counted === null || counted === turns) return counted;
    return this.#disputes < MOST_DISPUTES && (turns > 0 || counted <= MOST_JOINED) ? counted : null;
  }

  /** Tells what was not followed in a gap. @returns turns told */
  #fill(from: HeardPulse, until: HeardPulse, turns: number): number {
    if (turns < 2) return 0;
    const [low, high] = [from.height, until.height].map(Math.abs).sort((a, b) => a - b);
    let told = 0;
    for (const { timeS, sdS, height } of this.standing(from.timeS, until.timeS, TALL * low!)) {
      const turn = this.#whole(from.timeS, timeS, DUE);
      const isAlike = height * from.height > 0 && TALL * Math.abs(height) < high!;
      if (turn === null || turn <= told || turn >= turns || !isAlike) continue;
      this.tell(timeS, turn - told, sdS, true);
      told = turn;
    }
    return told;
  }

  /** Whether something like a pulse stands in the middle between two that follow on from each other. Once it may be anything;
   * twice in a row every other pulse was followed, and what strikes say then may be half the turns as well. */
  #hasMiddle(from: HeardPulse | null, until: HeardPulse): boolean {
    if (!from || (this.#whole(from.timeS, until.timeS, NEAR) ?? until.turns) !== 1) return false;
    const [low, high] = [from.height, until.height].map(Math.abs).sort((a, b) => a - b);
    const middleS = (from.timeS + until.timeS) / 2;
    const reachS = MIDDLE_SHARE * (until.timeS - from.timeS);
    return this.standing(from.timeS, until.timeS, TALL * low!).some(
      ({ timeS, height }) =>
        height * from.height > 0 && TALL * Math.abs(height) < high! && Math.abs(timeS - middleS) < reachS,
    );
  }

  /** Turns by the strikes; null where they tell no whole number. */
  #whole(fromS: number, untilS: number, near: number): number | null {
    const turns = this.strikes.between(fromS, untilS);
    if (turns === null) return null;
    const whole = Math.max(1, Math.round(turns));
    return Math.abs(turns - whole) < near ? whole : null;
  }
}
