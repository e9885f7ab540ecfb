/** Covariances of a window's contrasts, for each wander of the acceleration that may be: their Cholesky factors in, whitened
 * contrasts out. Arithmetic on arrays made once. */
import { FIRST_SETTLING, WANDERS } from './crank-happenings';
import { MOST_CONTRASTS, type CrankWindow } from './crank-window';

const M = MOST_CONTRASTS;

export class CrankFactors {
  readonly #factor = new Float64Array(WANDERS.length * M * M);
  readonly #wandering = new Float64Array(M * M);
  readonly #settling = new Float64Array(M * M);
  readonly #noise = new Float64Array(M * M);

  constructor(private readonly window: CrankWindow) {}

  /** The window is laid anew. */
  fill(): void {
    const { window } = this;
    this.#sum(window.first, window.places, this.#wandering);
    this.#sum(window.settled, window.settling, this.#settling);
    for (let i = 0; i < window.contrasts; i++)
      for (let j = 0; j <= i; j++) {
        let sum = 0;
        for (let k = 0; k < window.count; k++)
          sum += window.weight(i, k) * window.weight(j, k) * window.variance[k]!;
        this.#noise[i * M + j] = sum;
      }
  }

  /** @param of contrasts of each jump that may be @param count of the jumps @param into their covariances */
  #sum(of: Float64Array, count: number, into: Float64Array): void {
    const { contrasts, step } = this.window;
    into.fill(0);
    for (let p = 0; p < count; p++)
      for (let i = 0; i < contrasts; i++) {
        const share = step * of[p * M + i]!;
        for (let j = 0; j <= i; j++) into[i * M + j]! += share * of[p * M + j]!;
      }
  }

  /** @source Cholesky's factorisation, row by row @returns the determinant's logarithm */
  factorise(q: number): number {
    const variance = WANDERS[q]! ** 2;
    const factor = this.#factor;
    const wandering = q < FIRST_SETTLING ? this.#wandering : this.#settling;
    const from = q * M * M;
    let logDeterminant = 0;
    for (let i = 0; i < this.window.contrasts; i++)
      for (let j = 0; j <= i; j++) {
        let left = variance * wandering[i * M + j]! + this.#noise[i * M + j]!;
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
