/** Where the crank stands between a sensor's pulses: pulse times in, turns and speed at any time between them out. */

/** Pulses to either side through which the crank is taken to move. */
const SIDE = 2;
/** A corner of the speed shows on one side only: there, so many pulses to either side are compared. */
const COMPARED = 3;
/** Turns by which pulses may stand off a parabola through the three beside them for nothing but roughness. */
const ROUGH_TURNS = 0.003;
/** Off by more than this on both sides the speed has a corner between them; there they meet within this. */
const CORNER_TURNS = 0.004;
/** So many pulses are kept: enough for sparks that are told late. */
const KEPT = 256;
/** Where pulses stand on one side only, the last so many tell, and no further than this. */
const ONE_SIDE = 3;
const BEYOND_TURNS = 1.25;

export interface CrankPlace {
  /** Turns since the last pulse at or before that time, 0 to the turns between the two pulses about it; before the
   * first pulse, since the one that would have come before. */
  readonly turns: number;
  readonly rpm: number;
  /** Pulses stood on one side only. */
  readonly isBeyond: boolean;
}

interface Pulse {
  readonly timeS: number;
  /** Turns since the first pulse of the stretch. */
  readonly turn: number;
  readonly stretch: number;
}

export class CrankTurns {
  #pulses: Pulse[] = [];
  #stretch = 0;

  /** @param turns since the pulse before; 0: it does not follow on from it */
  add(timeS: number, turns: number): void {
    const last = this.#pulses.at(-1);
    if (!last || turns === 0) this.#stretch++;
    const turn = last && turns > 0 ? last.turn + turns : 0;
    this.#pulses.push({ timeS, turn, stretch: this.#stretch });
    if (this.#pulses.length > 2 * KEPT) this.#pulses = this.#pulses.slice(-KEPT);
  }

  /** Whether enough is known for a time, or nothing better will come: three pulses after it. */
  knows(timeS: number): boolean {
    const third = this.#pulses.at(-COMPARED);
    return third !== undefined && third.timeS > timeS;
  }

  /** Where the crank stands at a time, by a polynomial through the pulses about it, or carried on from those on one
   * side, a turn and a quarter at most.
   * @param mostTurns a gap between two pulses of more turns says nothing of what lies in it
   * @returns null where no pulse stands near
   * @source Lagrange's interpolation: turns against time, through up to four pulses, or three on one side; where three
   * pulses stand on either side, by the smoother side */
  at(timeS: number, mostTurns: number): CrankPlace | null {
    const after = this.#firstAfter(timeS);
    const [before, next] = [this.#pulses[after - 1], this.#pulses[after]];
    if (!before || !next || before.stretch !== next.stretch) return this.#beyond(after, timeS);
    if (next.turn - before.turn > mostTurns) return null;
    const about = this.#pulses
      .slice(Math.max(0, after - SIDE), after + SIDE)
      .filter(({ stretch }) => stretch === before.stretch);
    const wide = this.#pulses.slice(Math.max(0, after - COMPARED), after + COMPARED);
    const { value, slope } =
      wide.length === 2 * COMPARED && wide.every(({ stretch }) => stretch === before.stretch)
        ? bySmootherSide(wide, timeS)
        : through(about, before, timeS);
    return { turns: value, rpm: 60 * slope, isBeyond: false };
  }

  /** By the pulses before a time, or else by those after it. */
  #beyond(after: number, timeS: number): CrankPlace | null {
    const sides = [
      { nearest: this.#pulses[after - 1], of: this.#pulses.slice(Math.max(0, after - ONE_SIDE), after) },
      { nearest: this.#pulses[after], of: this.#pulses.slice(after, after + ONE_SIDE) },
    ];
    for (const { nearest, of } of sides) {
      const about = of.filter(({ stretch }) => stretch === nearest!.stretch);
      if (!nearest || about.length < ONE_SIDE) continue;
      const { value, slope } = through(about, nearest, timeS);
      if (Math.abs(value) > BEYOND_TURNS) continue;
      return { turns: value - Math.min(0, Math.floor(value)), rpm: 60 * slope, isBeyond: true };
    }
    return null;
  }

  #firstAfter(timeS: number): number {
    let after = this.#pulses.length;
    while (after > 0 && this.#pulses[after - 1]!.timeS > timeS) after--;
    return after;
  }
}

/** Turns since the third of six pulses, and turns a second, between the third and the fourth. Two parabolas through three
 * pulses each, weighed so that they make the cubic through four where the speed changes smoothly; beside a corner of the
 * speed the parabola on its far side counts for next to nothing.
 * @source Weighted essentially non-oscillatory interpolation, weights by the inverse square of each side's roughness (Liu,
 * Osher and Chan 1994, from memory) */
function bySmootherSide(pulses: readonly Pulse[], timeS: number): { value: number; slope: number } {
  const since = pulses[2]!;
  const off = (three: readonly Pulse[], other: Pulse): number =>
    other.turn - since.turn - through(three, since, other.timeS).value;
  const [offEarly, offLate] = [off(pulses.slice(0, 3), pulses[3]!), off(pulses.slice(2, 5), pulses[5]!)];
  if (Math.min(Math.abs(offEarly), Math.abs(offLate)) > CORNER_TURNS) {
    const corner = byCorner(pulses, timeS);
    if (corner) return corner;
  }
  const weight = (offTurns: number): number => 1 / (offTurns * offTurns + ROUGH_TURNS * ROUGH_TURNS);
  const early = through(pulses.slice(1, 4), since, timeS);
  const late = through(pulses.slice(2, 5), since, timeS);
  const [byEarly, byLate] = [weight(offEarly), weight(offLate)];
  const change = -1 / (pulses[4]!.timeS - pulses[1]!.timeS);
  const share = (timeS - pulses[4]!.timeS) * change;
  const sum = byEarly * share + byLate * (1 - share);
  const value = (byEarly * share * early.value + byLate * (1 - share) * late.value) / sum;
  const rising =
    byEarly * (change * early.value + share * early.slope) +
    byLate * ((1 - share) * late.slope - change * late.value);
  return { value, slope: (rising - value * (byEarly - byLate) * change) / sum };
}

/** The same where neither side is smooth across the middle: there the speed has a corner between the third and the fourth
 * pulse, at which the parabolas through the three on either side touch. By the one on whose side of it the time lies.
 * @returns null where they do not touch there
 * @source Turns and speed go on without a jump while the acceleration jumps: both parabolas have the value and the slope in
 * common there, so their difference has its one extreme there (worked out by hand) */
function byCorner(pulses: readonly Pulse[], timeS: number): { value: number; slope: number } | null {
  const [since, next] = [pulses[2]!, pulses[3]!];
  const [left, right] = [pulses.slice(0, 3), pulses.slice(3, 6)];
  const apart = (atS: number): { value: number; slope: number } => {
    const [one, other] = [through(left, since, atS), through(right, since, atS)];
    return { value: other.value - one.value, slope: other.slope - one.slope };
  };
  const [first, last] = [apart(since.timeS).slope, apart(next.timeS).slope];
  const cornerS = since.timeS + ((next.timeS - since.timeS) * first) / (first - last);
  const inside = cornerS >= since.timeS && cornerS <= next.timeS;
  if (!inside || Math.abs(apart(cornerS).value) > CORNER_TURNS) return null;
  return through(timeS < cornerS ? left : right, since, timeS);
}

/** Turns since a pulse, and turns a second, of the polynomial through pulses. */
function through(about: readonly Pulse[], since: Pulse, timeS: number): { value: number; slope: number } {
  let [value, slope] = [0, 0];
  for (const here of about) {
    const others = about.filter((other) => other !== here);
    const below = others.reduce((product, other) => product * (here.timeS - other.timeS), 1);
    const factor = (here.turn - since.turn) / below;
    value += factor * others.reduce((product, other) => product * (timeS - other.timeS), 1);
    for (const left of others)
      slope +=
        factor *
        others
          .filter((other) => other !== left)
          .reduce((product, other) => product * (timeS - other.timeS), 1);
  }
  return { value, slope };
}
