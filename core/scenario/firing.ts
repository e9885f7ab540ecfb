/** When each lead fires: stretches of crank motion in, sparks and crank pulses out in order of time. The advance is
 * fixed a quarter turn before top dead centre, from the speed there. Knows degrees and rpm; nothing of sound. */
import { rpmFromRate, strikesPerTurn, type EngineFacts } from '../engine';
import { endTimeS, endTurns, rpmIn, timeOfTurns, type Stretch } from './motion';

export type FiringEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** One spark of one lead. Lead 0 is the clamped one (all of a coil lead's sparks count as clamped). */
export interface Spark {
  readonly kind: 'spark';
  readonly timeS: number;
  readonly lead: number;
  readonly rpm: number;
  /** Crank degrees before top dead centre. */
  readonly advanceDeg: number;
  /** Turns from the start at the spark. */
  readonly turns: number;
}
/** The crank sensor's pulse, one a turn. */
export interface CrankPulse {
  readonly kind: 'crank';
  readonly timeS: number;
  readonly rpm: number;
  readonly turns: number;
}

export interface FiringOptions {
  readonly engine: FiringEngine;
  /** Crank degrees at which the cylinders reach top dead centre, within one cycle, in firing order, from 0 on; null:
   * evenly. */
  readonly firingDeg: readonly number[] | null;
  /** Crank degrees before TDC at a speed, spark by spark. */
  readonly advanceDeg: (rpm: number, lead: number) => number;
  /** The sensor pulses so many crank degrees before the TDC of No. 1; null: no sensor. */
  readonly crankBeforeTdcDeg: number | null;
}

/** Leads and their top dead centres in turns, within the turns after which each fires again. */
export interface LeadPlan {
  readonly everyTurns: number;
  readonly offsetTurns: readonly number[];
}

/** @returns every lead that fires: for a wasted spark, leads whose top dead centres coincide share a coil
 * @throws RangeError if the degrees do not fit the cylinders or the cycle */
export function leadPlan(engine: FiringEngine, firingDeg: readonly number[] | null): LeadPlan {
  rpmFromRate(1, strikesPerTurn(engine)); // refuses a count of cylinders that cannot be
  const cycleTurns = engine.strokes / 2;
  const degrees =
    firingDeg ??
    Array.from({ length: engine.cylinders }, (_, i) => (360 * cycleTurns * i) / engine.cylinders);
  const fits = degrees.every((deg, i) =>
    i === 0 ? deg === 0 : deg > degrees[i - 1]! && deg < 360 * cycleTurns,
  );
  if (degrees.length !== engine.cylinders || !fits)
    throw new RangeError(
      `firing degrees must be ${engine.cylinders} rising figures from 0 to below ${360 * cycleTurns}, got ${degrees.join(', ')}`,
    );
  if (engine.pickup !== 'wasted')
    return { everyTurns: cycleTurns, offsetTurns: degrees.map((deg) => deg / 360) };
  const within = new Set(degrees.map((deg) => Math.round((deg % 360) * 1e6) / 1e6));
  return { everyTurns: 1, offsetTurns: [...within].sort((a, b) => a - b).map((deg) => deg / 360) };
}

/** A spark's advance is decided so long before its top dead centre, and is always smaller. */
const DECIDED_TURNS = 0.25;

/** Follows the crank, stretch by stretch. */
export class Firing {
  readonly plan: LeadPlan;
  #nextFiring = 0;
  #nextPulse = 0;
  #waiting: { turns: number; lead: number; advanceDeg: number }[] = [];

  constructor(private readonly options: FiringOptions) {
    this.plan = leadPlan(options.engine, options.firingDeg);
  }

  #tdcTurns(firing: number): number {
    const { everyTurns, offsetTurns } = this.plan;
    const cycle = Math.floor(firing / offsetTurns.length);
    // the first round comes after the first decisions can be made
    return 1 + everyTurns * cycle + offsetTurns[firing % offsetTurns.length]!;
  }

  #decide(stretch: Stretch, untilTurns: number): void {
    for (; this.#tdcTurns(this.#nextFiring) - DECIDED_TURNS < untilTurns; this.#nextFiring++) {
      const tdc = this.#tdcTurns(this.#nextFiring);
      const lead = this.#nextFiring % this.plan.offsetTurns.length;
      const rpm = rpmIn(stretch, timeOfTurns(stretch, Math.max(stretch.turns, tdc - DECIDED_TURNS)));
      const advanceDeg = Math.min(89, this.options.advanceDeg(rpm, lead));
      this.#waiting.push({ turns: tdc - advanceDeg / 360, lead, advanceDeg });
    }
    this.#waiting.sort((a, b) => a.turns - b.turns);
  }

  #pulses(stretch: Stretch, untilTurns: number): CrankPulse[] {
    const before = this.options.crankBeforeTdcDeg;
    const pulses: CrankPulse[] = [];
    if (before === null) return pulses;
    for (; 1 + this.#nextPulse - before / 360 < untilTurns; this.#nextPulse++) {
      const turns = 1 + this.#nextPulse - before / 360;
      const timeS = timeOfTurns(stretch, turns);
      if (timeS >= stretch.timeS) pulses.push({ kind: 'crank', timeS, rpm: rpmIn(stretch, timeS), turns });
    }
    return pulses;
  }

  /** Everything that happens within a stretch, which must follow the one before, in order of time. */
  follow(stretch: Stretch): (Spark | CrankPulse)[] {
    const untilTurns = endTurns(stretch);
    this.#decide(stretch, untilTurns);
    const due = this.#waiting.findIndex((spark) => spark.turns >= untilTurns);
    const sparks = this.#waiting.splice(0, due === -1 ? this.#waiting.length : due).map((spark): Spark => {
      const timeS = Math.min(endTimeS(stretch), timeOfTurns(stretch, spark.turns));
      return { kind: 'spark', timeS, rpm: rpmIn(stretch, timeS), ...spark };
    });
    return [...sparks, ...this.#pulses(stretch, untilTurns)].sort((a, b) => a.timeS - b.timeS);
  }
}
