/** One reading of the impulses: which of them were strikes, and where the next is due. The tracker keeps several side
 * by side. Plain numbers, copied over, never made anew while a beat is followed. */

export class Reading {
  cost = 0;
  /** Last strike and the one before it, as nodes. */
  node = 0;
  lastCandidate = -1;
  beforeLastCandidate = -1;
  /** Intervals between the two. */
  lastSteps = 0;
  lastS = 0;
  /** Natural logarithm of the mean interval, seconds. */
  logPeriod = 0;
  /** Its change from one strike to the next. */
  trend = 0;
  /** The last impulse left out that cost something, and what. */
  strayS = -Infinity;
  strayCost = 0;
  /** The last strike that came after a cut. */
  cutS = -Infinity;
  /** When its period was last seen. */
  knownS = 0;
  /** Mean square of the relative deviations from the time due. */
  unevenness = 0;
  /** Place in the pattern, from 0. */
  slot = 0;
  /** Strikes taken since the start. */
  taken = 0;
  /** Cost since the last strike, and its running mean per strike. */
  spent = 0;
  strain = 0;
  /** Its strikes stand clear of the noise. */
  clear = true;
  /** Noise stands as tall as its strikes; then the variances of period and trend, and their covariance. */
  amongNoise = false;
  periodVar = 0;
  trendVar = 0;
  covariance = 0;
  readonly logLevel: Float64Array;
  /** Natural logarithm of each slot's interval by the mean. */
  readonly slotShift: Float64Array;

  constructor(patternLength: number) {
    this.logLevel = new Float64Array(patternLength);
    this.slotShift = new Float64Array(patternLength);
  }
  copy(from: Reading): void {
    this.cost = from.cost;
    this.node = from.node;
    this.lastCandidate = from.lastCandidate;
    this.beforeLastCandidate = from.beforeLastCandidate;
    this.lastSteps = from.lastSteps;
    this.lastS = from.lastS;
    this.logPeriod = from.logPeriod;
    this.trend = from.trend;
    this.strayS = from.strayS;
    this.strayCost = from.strayCost;
    this.cutS = from.cutS;
    this.knownS = from.knownS;
    this.clear = from.clear;
    this.amongNoise = from.amongNoise;
    this.periodVar = from.periodVar;
    this.trendVar = from.trendVar;
    this.covariance = from.covariance;
    this.unevenness = from.unevenness;
    this.slot = from.slot;
    this.taken = from.taken;
    this.spent = from.spent;
    this.strain = from.strain;
    for (let s = 0; s < this.logLevel.length; s++) {
      this.logLevel[s] = from.logLevel[s]!;
      this.slotShift[s] = from.slotShift[s]!;
    }
  }
  pay(cost: number): void {
    this.cost += cost;
    this.spent += cost;
  }
  /** Seconds from the last strike to the one due after so many intervals. */
  dueAfterS(steps: number): number {
    const pattern = this.slotShift.length;
    let intervals = 0;
    for (let k = 0; k < steps; k++) intervals += Math.exp(this.slotShift[(this.slot + k) % pattern]!);
    return intervals * Math.exp(this.logPeriod + this.trend * (this.amongNoise ? (steps + 1) / 2 : 1));
  }
  /** Where a slot stands beside an even pattern, in mean intervals; of all slots zero on average, for what is learnt of one
   * of them must not move the others. */
  placeOf(slot: number): number {
    let [intervals, own, sum] = [0, 0, 0];
    for (let s = 0; s < this.slotShift.length; s++) {
      const place = intervals - s;
      if (s === slot) own = place;
      sum += place;
      intervals += Math.exp(this.slotShift[s]!);
    }
    return own - sum / this.slotShift.length;
  }
  get periodS(): number {
    return Math.exp(this.logPeriod);
  }
}
