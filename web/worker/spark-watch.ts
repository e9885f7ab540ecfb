/** The sparks that were measured against a crank sensor: each one in; the last ones, and all of the trace's gathered by
 * speed, out. */
import { SparkBinner, type SparkBin } from '../../core/sensor/spark-bins';

/** What the page is told. */
export interface SparksSaid {
  /** Advance of the last sparks, oldest first, crank degrees before TDC. */
  readonly recentDeg: readonly number[];
  /** Speed at the last of them; null before the first. */
  readonly rpm: number | null;
  /** All since the trace began, by speed. */
  readonly bins: readonly SparkBin[];
}

/** A bin is as wide as what a person reads as one speed. */
export const SPARK_BIN_RPM = 200;
const RECENT = 48;

export class SparkWatch {
  #recentDeg: number[] = [];
  #rpm: number | null = null;
  #binner = new SparkBinner(SPARK_BIN_RPM);

  /** @param timeS on the trace @param sdDeg how far the advance may be off, a standard deviation */
  add(timeS: number, rpm: number, advanceDeg: number, sdDeg: number): void {
    this.#recentDeg.push(advanceDeg);
    if (this.#recentDeg.length > RECENT) this.#recentDeg.shift();
    this.#rpm = rpm;
    this.#binner.add({ timeS, rpm, advanceDeg, sdDeg });
  }

  /** A trace begins anew. */
  startAnew(): void {
    this.#binner = new SparkBinner(SPARK_BIN_RPM);
  }

  said(): SparksSaid {
    return { recentDeg: [...this.#recentDeg], rpm: this.#rpm, bins: this.#binner.bins() };
  }
}
