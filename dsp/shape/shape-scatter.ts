/** How far single strikes lie off their learnt shape, point by point: strikes of one height in, standard deviations out.
 * Once made, allocates nothing for a strike. */

/** The newest strike's part, once many were seen. */
const LEAST_GAIN = 1 / 48;

export class ShapeScatter {
  readonly #variance: Float64Array;
  #taken = 0;

  constructor(points: number) {
    this.#variance = new Float64Array(points);
  }

  startAnew(): void {
    this.#taken = 0;
  }

  /** @param seen a strike's points, not yet brought to one height @param amplitude its height @param shape the learnt
   * points, their peak 1 */
  take(seen: Float64Array, amplitude: number, shape: Float64Array): void {
    const gain = Math.max(LEAST_GAIN, 1 / ++this.#taken);
    const variance = this.#variance;
    for (let j = 0; j < variance.length; j++) {
      const off = seen[j]! / amplitude - shape[j]!;
      variance[j]! += gain * (off * off - variance[j]!);
    }
  }

  /** Standard deviation at each point, share of the shape's peak: a copy. */
  get deviations(): Float32Array<ArrayBuffer> {
    return Float32Array.from(this.#variance, Math.sqrt);
  }
}
