/** Covariances of a window's contrasts, for each wander of the acceleration that may be: their Cholesky factors in, whitened
 * contrasts out. Arithmetic on arrays made once. */
import { WANDERS } from './crank-happenings';
import { MOST_CONTRASTS, type CrankWindow } from './crank-window';

const M = MOST_CONTRASTS;

export class CrankFactors {
  readonly #factor = new Float64Array(WANDERS.length * M * M);
  readonly #wandering = new Float64Array(M * M);
  readonly #noise = new Float64Array(M * M);

  constructor(private readonly window: CrankWindow) {}

  /** The window is laid anew. */
  fill(): void {
    const { window } = this;
    this.#wandering.fill(0);
    for (let p = 0; p < window.places; p++)
      for (let i = 0; i < window.contrasts; i++) {
        const share = window.step * window.first[p * M + i]!;
        for (let j = 0; j <= i; j++) this.#wandering[i * M + j]! += share * window.first[p * M + j]!;
      }
    for (let i = 0; i < window.contrasts; i++)
      for (let j = 0; j <= i; j++) {
        let sum = 0;
        for (let k = 0; k < window.count; k++)
          sum += window.weight(i, k) * window.weight(j, k) * window.variance[k]!;
        this.#noise[i * M + j] = sum;
      }
  }

  /** @source Cholesky's factorisation, row by row @returns the determinant's logarithm */
  factorise(q: number): number {
    const variance = WANDERS[q]! ** 2;
    const factor = this.#factor;
    const from = q * M * M;
    let logDeterminant = 0;
    for (let i = 0; i < this.window.contrasts; i++)
      for (let j = 0; j <= i; j++) {
        let left = variance * this.#wandering[i * M + j]! + this.#noise[i * M + j]!;
        for (let k = 0; k < j; k++) left -= factor[from + i * M + k]! * factor[from + j * M + k]!;
        if (i === j) logDeterminant += Math.log(left);
        factor[from + i * M + j] = i === j ? Math.sqrt(left) : left / factor[from + j * M + j]!;
      }
    return logDeterminant;
  }

  /** Divides contrasts by the factor of a wander: what comes of them has unit variance. */
  divide(q: number, of: Float64Array, ofAt: number, into: Float64Array, intoAt: number): void {
    const from = q * M * M;
    for (let i = 0; i < this.window.contrasts; i++) {
      let left = of[ofAt + i]!;
      for (let j = 0; j < i; j++) left -= this.#factor[from + i * M + j]! * into[intoAt + j]!;
      into[intoAt + i] = left / this.#factor[from + i * M + i]!;
    }
  }
}
