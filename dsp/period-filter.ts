/** One Kalman filter for a beat: time of the last strike, interval there, change of the interval. Times in seconds;
 * the interval's own restlessness is told as shares of it. @source Kalman 1960; Bar-Shalom et al., Estimation with
 * Applications to Tracking and Navigation, ch. 5 and 11 (memory) */

/** How restless an engine is, each as a share of the interval, each interval anew. */
export interface Restlessness {
  /** Random walk of the interval. */
  readonly walk: number;
  /** Random walk of its change; 0: the interval has no change of its own. */
  readonly change: number;
  /** Scatter of each strike about its place, standard deviation: sparks come a little early or late. */
  readonly scatter: number;
}

export class PeriodFilter {
  /** Last strike, interval at it, its change from strike to strike. */
  timeS = 0;
  periodS = 0;
  changeS = 0;
  /** Covariance, upper triangle: time-time, time-period, time-change, period-period, period-change, change-change. */
  readonly c = new Float64Array(6);
  /** The last innovation and its variance. */
  innovationS = 0;
  innovationVar = 1;

  constructor(readonly restless: Restlessness) {}

  start(timeS: number, timeVar: number, periodS: number, periodVar: number): void {
    this.timeS = timeS;
    this.periodS = periodS;
    this.changeS = 0;
    this.c.fill(0);
    this.c[0] = timeVar;
    this.c[1] = timeVar;
    this.c[3] = periodVar;
    this.c[5] = this.restless.change > 0 ? (0.03 * periodS) ** 2 : 0;
  }

  /** On by so many intervals. */
  predict(steps: number): void {
    const { c, restless } = this;
    if (steps > 1) this.#damp(1 / steps);
    const n = steps;
    const m = Math.min(n, 2); // nor does its restlessness add up without end
    const half = (n * n) / 2;
    this.timeS += n * this.periodS + half * this.changeS;
    this.periodS += n * this.changeS;
    const [tt, tp, td, pp, pd, dd] = [c[0]!, c[1]!, c[2]!, c[3]!, c[4]!, c[5]!];
    const walk = (restless.walk * this.periodS) ** 2;
    const change = (restless.change * this.periodS) ** 2;
    c[0] = tt + 2 * n * tp + 2 * half * td + n * n * pp + 2 * n * half * pd + half * half * dd;
    c[1] = tp + n * td + n * pp + (half + n * n) * pd + half * n * dd;
    c[2] = td + n * pd + half * dd;
    c[3] = pp + 2 * n * pd + n * n * dd;
    c[4] = pd + n * dd;
    c[5] = dd;
    // restlessness comes evenly over the intervals: a walk by its integrals
    c[0]! += (walk * n * n * n) / 3 + (change * m ** 5) / 20;
    c[1]! += (walk * n * n) / 2 + (change * m ** 4) / 8;
    c[2]! += (change * m ** 3) / 6;
    c[3]! += walk * n + (change * m ** 3) / 3;
    c[4]! += (change * m * m) / 2;
    c[5]! += change * m;
  }

  /** A change seen between two strikes does not go on over many missed ones. */
  #damp(by: number): void {
    const { c } = this;
    this.changeS *= by;
    c[2]! *= by;
    c[4]! *= by;
    c[5]! *= by * by;
  }

  /** What a strike at a time says before it is taken. */
  compare(timeS: number, timeVar: number): void {
    this.innovationS = timeS - this.timeS;
    this.innovationVar = this.c[0]! + timeVar + (this.restless.scatter * this.periodS) ** 2;
  }

  update(): void {
    const { c } = this;
    const s = this.innovationVar;
    const [kt, kp, kd] = [c[0]! / s, c[1]! / s, c[2]! / s];
    this.timeS += kt * this.innovationS;
    this.periodS += kp * this.innovationS;
    this.changeS += kd * this.innovationS;
    const [tt, tp, td] = [c[0]!, c[1]!, c[2]!];
    c[0]! -= kt * tt;
    c[1]! -= kt * tp;
    c[2]! -= kt * td;
    c[3]! -= kp * tp;
    c[4]! -= kp * td;
    c[5]! -= kd * td;
  }

  /** The beat starts anew at a strike, as fast as before. */
  jump(timeS: number, timeVar: number): void {
    const { c } = this;
    this.timeS = timeS;
    c[0] = timeVar;
    c[1] = c[2] = 0;
  }

  /** Logarithm of the likelihood of the strike compared. */
  get logLikelihood(): number {
    return -0.5 * ((this.innovationS * this.innovationS) / this.innovationVar + Math.log(this.innovationVar));
  }
}
