/** A few pulses of a crank sensor in; the contrasts of their turns out, which the crank's even way leaves at zero, and what
 * each happening between them (a jump of the acceleration, a pulse that stands wrong, a turn that was not counted) would
 * make of them. Arithmetic on arrays made once. Knows turns, and time in turns; nothing of sparks, odds or sound. */

/** Pulses that a window holds at most. */
export const MOST_PULSES = 8;
/** A parabola takes three pulses; every further one tells something. */
export const MOST_CONTRASTS = MOST_PULSES - 3;
/** Pulses that make one contrast: a third difference. */
const WIDE = 4;
/** Places at which the acceleration may jump. */
const PLACES_A_TURN = 16;
const MOST_PLACES = 224;
/** Places in a cycle. */
const MOST_CYCLE = 3 * PLACES_A_TURN;
/** Of jumps of 1, -2 and 1: their root mean square is one where this is their size. */
const SETTLING_SIZE = 1 / Math.sqrt(6);

/** Happenings in a window: first those at the places, then those of each pulse, then those of each interval. */
export const MOST_HAPPENINGS = MOST_PLACES + 2 * MOST_PULSES;

export class CrankWindow {
  /** Pulses in the window. */
  count = 0;
  /** Time of each pulse, in turns of one length, from any zero. */
  readonly time = new Float64Array(MOST_PULSES);
  /** Turns told of each, from any zero. */
  readonly turn = new Float64Array(MOST_PULSES);
  /** Variance of each one's place, turns squared. */
  readonly variance = new Float64Array(MOST_PULSES);
  /** Whether the turns after each one were counted by something else as well. */
  readonly isCounted = new Uint8Array(MOST_PULSES);
  contrasts = 0;
  places = 0;
  /** From one place to the next. */
  step = 0;
  readonly place = new Float64Array(MOST_PLACES);
  /** Contrasts of the turns told. */
  readonly told = new Float64Array(MOST_CONTRASTS);
  /** Contrasts of each happening of size one: of a place a jump of the acceleration, and one of the speed, by which the
   * other stands a little earlier or later; of a pulse and of an interval the turns, with no second. */
  readonly first = new Float64Array(MOST_HAPPENINGS * MOST_CONTRASTS);
  readonly second = new Float64Array(MOST_HAPPENINGS * MOST_CONTRASTS);
  /** Where the engine keeps a speed, cycles that differ from it make three jumps each: to what one cycle runs at, back
   * from it, and to what was kept before. How many cycles may begin, before the window or in it. */
  settling = 0;
  /** What the jumps of each of them add to each contrast. */
  readonly settled = new Float64Array((MOST_PLACES + 2 * MOST_CYCLE) * MOST_CONTRASTS);
  #cycle = 0;
  readonly #weights = new Float64Array(MOST_CONTRASTS * WIDE);

  /** @param cycleTurns turns in which every cylinder fires once */
  constructor(private readonly cycleTurns: number) {}

  /** After count, time, turn and variance are set.
   * @param from @param until the places stand between, in time
   * @source Divided differences: a third one is zero for every parabola */
  lay(from: number, until: number): void {
    this.contrasts = Math.max(0, this.count - WIDE + 1);
    for (let i = 0; i < this.contrasts; i++) this.#weigh(i);
    for (let i = 0; i < this.contrasts; i++) this.told[i] = this.#sum(i, this.turn);
    this.places = Math.min(MOST_PLACES, Math.ceil(PLACES_A_TURN * (until - from)));
    this.step = (until - from) / this.places;
    for (let p = 0; p < this.places; p++) {
      this.place[p] = from + (p + 0.5) * this.step;
      this.#layPlace(p);
    }
    for (let k = 0; k < this.count; k++) this.#layPulse(k);
    this.#laySettling();
  }

  /** What the jumps of one cycle that ends with a place do, of what each jump of size one does.
   * @param wide how many values there are of each place @param i which of them */
  settle(of: Float64Array, last: number, wide: number, i: number): number {
    const [first, middle] = [last - 2 * this.#cycle, last - this.#cycle];
    let sum = last < this.places ? of[last * wide + i]! : 0;
    if (middle >= 0 && middle < this.places) sum -= 2 * of[middle * wide + i]!;
    if (first >= 0) sum += of[first * wide + i]!;
    return SETTLING_SIZE * sum;
  }

  /** Where the happening of a pulse stands among all. */
  ofPulse(k: number): number {
    return this.places + k;
  }

  /** Where the happening of the interval after a pulse stands among all. */
  ofInterval(k: number): number {
    return this.places + this.count + k;
  }

  /** Of contrast i that of pulse k. */
  weight(i: number, k: number): number {
    return k >= i && k < i + WIDE ? this.#weights[WIDE * i + k - i]! : 0;
  }

  #weigh(i: number): void {
    for (let j = 0; j < WIDE; j++) {
      let below = 1;
      for (let k = 0; k < WIDE; k++) if (k !== j) below *= this.time[i + j]! - this.time[i + k]!;
      this.#weights[WIDE * i + j] = 1 / below;
    }
  }

  #sum(i: number, values: Float64Array): number {
    let sum = 0;
    for (let j = 0; j < WIDE; j++) sum += this.#weights[WIDE * i + j]! * values[i + j]!;
    return sum;
  }

  #layPlace(p: number): void {
    for (let i = 0; i < this.contrasts; i++) {
      let [bend, kink] = [0, 0];
      for (let j = 0; j < WIDE; j++) {
        const after = Math.max(0, this.time[i + j]! - this.place[p]!);
        bend += (this.#weights[WIDE * i + j]! * after * after) / 2;
        kink += this.#weights[WIDE * i + j]! * after;
      }
      this.first[p * MOST_CONTRASTS + i] = bend;
      this.second[p * MOST_CONTRASTS + i] = kink;
    }
  }

  #laySettling(): void {
    this.#cycle = Math.min(MOST_CYCLE, Math.round(this.cycleTurns / this.step));
    this.settling = this.places + 2 * this.#cycle;
    for (let s = 0; s < this.settling; s++)
      for (let i = 0; i < this.contrasts; i++)
        this.settled[s * MOST_CONTRASTS + i] = this.settle(this.first, s, MOST_CONTRASTS, i);
  }

  #layPulse(k: number): void {
    const [pulse, interval] = [this.ofPulse(k), this.ofInterval(k)];
    for (let i = 0; i < this.contrasts; i++) {
      let later = 0;
      for (let j = k + 1; j < this.count; j++) later += this.weight(i, j);
      this.first[pulse * MOST_CONTRASTS + i] = this.weight(i, k);
      this.first[interval * MOST_CONTRASTS + i] = later;
      this.second[pulse * MOST_CONTRASTS + i] = 0;
      this.second[interval * MOST_CONTRASTS + i] = 0;
    }
  }
}
