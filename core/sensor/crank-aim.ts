/** One moment among the pulses of a window in; the turns there, or the speed, by the parabola through the three pulses
 * beside it, and what each happening would add to that. Arithmetic on arrays made once. Knows turns, and time in turns. */
import { MOST_CONTRASTS, MOST_HAPPENINGS, type CrankWindow } from './crank-window';

/** Pulses that make the parabola. */
const THREE = 3;

export class CrankAim {
  /** What the parabola says. */
  value = 0;
  /** Its variance by the pulses' own. */
  noise = 0;
  /** What stands off the parabola, for an acceleration that wanders by one in a turn: its variance, and its covariances
   * with the contrasts. */
  ownVariance = 0;
  readonly own = new Float64Array(MOST_CONTRASTS);
  /** The same where cycles settle. */
  settlingVariance = 0;
  readonly settling = new Float64Array(MOST_CONTRASTS);
  /** Covariances of the parabola's noise with the contrasts. */
  readonly shared = new Float64Array(MOST_CONTRASTS);
  /** What each happening of size one adds, as in the window. */
  readonly first = new Float64Array(MOST_HAPPENINGS);
  readonly second = new Float64Array(MOST_HAPPENINGS);
  readonly #weights = new Float64Array(THREE);

  /** @param of turns at that moment, or turns in a unit of time */
  constructor(
    private readonly window: CrankWindow,
    private readonly of: 'turns' | 'speed',
  ) {}

  /** @param time of the moment @param near the first of the three pulses @param before the pulse before: a turn not
   * counted moves what lies beyond it, never the turns since that pulse */
  set(time: number, near: number, before: number): void {
    this.#parabola(time, near);
    this.#places(time, near);
    this.#pulses(near, before);
    this.#covariances(near);
  }

  /** @source Lagrange's interpolation and its derivative */
  #parabola(time: number, near: number): void {
    const { window } = this;
    this.value = 0;
    this.noise = 0;
    for (let k = 0; k < THREE; k++) {
      const here = window.time[near + k]!;
      const left = window.time[near + ((k + 1) % THREE)]!;
      const right = window.time[near + ((k + 2) % THREE)]!;
      const above = this.of === 'turns' ? (time - left) * (time - right) : 2 * time - left - right;
      const weight = above / ((here - left) * (here - right));
      this.#weights[k] = weight;
      this.value += weight * window.turn[near + k]!;
      this.noise += weight * weight * window.variance[near + k]!;
    }
  }

  #places(time: number, near: number): void {
    const { window } = this;
    for (let p = 0; p < window.places; p++) {
      const since = Math.max(0, time - window.place[p]!);
      let bend = this.of === 'turns' ? (since * since) / 2 : since;
      let kink = this.of === 'turns' ? since : +(since > 0);
      for (let k = 0; k < THREE; k++) {
        const after = Math.max(0, window.time[near + k]! - window.place[p]!);
        bend -= (this.#weights[k]! * after * after) / 2;
        kink -= this.#weights[k]! * after;
      }
      this.first[p] = bend;
      this.second[p] = kink;
    }
  }

  #pulses(near: number, before: number): void {
    const { window } = this;
    let later = this.of === 'turns' ? 1 : 0; // the three weights' sum: what shifts all three
    for (let k = 0; k < window.count; k++) {
      const at = k - near;
      const weight = at >= 0 && at < THREE ? this.#weights[at]! : 0;
      later -= weight;
      const [pulse, interval] = [window.ofPulse(k), window.ofInterval(k)];
      this.first[pulse] = -weight;
      this.first[interval] = (this.of === 'turns' && before > k ? 1 : 0) - later;
      this.second[pulse] = 0;
      this.second[interval] = 0;
    }
  }

  #covariances(near: number): void {
    const { window } = this;
    this.own.fill(0);
    this.ownVariance = 0;
    for (let p = 0; p < window.places; p++) {
      const share = window.step * this.first[p]!;
      this.ownVariance += share * this.first[p]!;
      for (let i = 0; i < window.contrasts; i++)
        this.own[i]! += share * window.first[p * MOST_CONTRASTS + i]!;
    }
    this.#settlingCovariances();
    for (let i = 0; i < window.contrasts; i++) {
      this.shared[i] = 0;
      for (let k = 0; k < THREE; k++)
        this.shared[i]! += window.weight(i, near + k) * window.variance[near + k]! * this.#weights[k]!;
    }
  }

  #settlingCovariances(): void {
    const { window } = this;
    this.settling.fill(0);
    this.settlingVariance = 0;
    for (let s = 0; s < window.settling; s++) {
      const adds = window.settle(this.first, s, 1, 0);
      this.settlingVariance += window.step * adds * adds;
      for (let i = 0; i < window.contrasts; i++)
        this.settling[i]! += window.step * adds * window.settled[s * MOST_CONTRASTS + i]!;
    }
  }
}
