/** Linear least squares: columns and a right side in; coefficients, their covariance and the scatter out. Knows no
 * readings. */
import { Matrix, QrDecomposition, solve } from 'ml-matrix';

export interface LinearFit {
  readonly coefficients: readonly number[];
  /** Standard errors, beside the coefficients; null where no degree of freedom is left. */
  readonly standardErrors: readonly number[] | null;
  readonly residuals: readonly number[];
  /** Weighted sum of squared residuals. */
  readonly sse: number;
  /** Rows less coefficients. */
  readonly freedom: number;
}

/** @param columns each as long as y; none a mix of the others
 * @param weights over 0; all 1 where left out
 * @returns null where the columns depend on each other to working accuracy
 * @throws RangeError if lengths differ or there are fewer rows than columns
 * @source Orthogonal triangles (QR) on columns scaled to length 1, one step of refinement: Golub and Van Loan,
 * Matrix Computations, chapter 5 (from memory). */
export function leastSquares(
  columns: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  weights?: ArrayLike<number>,
): LinearFit | null {
  const rows = y.length;
  if (columns.length === 0 || rows < columns.length || columns.some((column) => column.length !== rows))
    throw new RangeError(
      `wanted at least as many rows as columns, all of one length, got ${columns.length} columns and ${rows} rows`,
    );
  const root = Array.from(y, (_, i) => Math.sqrt(weights?.[i] ?? 1));
  const weighted = (column: ArrayLike<number>): number[] =>
    Array.from(column, (value, i) => value * root[i]!);
  const right = weighted(y);
  const raw = columns.map(weighted);
  const lengths = raw.map((column) => Math.hypot(...column) || 1);
  const design = new Matrix(raw.map((column, j) => column.map((value) => value / lengths[j]!))).transpose();
  const qr = new QrDecomposition(design);
  if (!qr.isFullRank()) return null;
  const triangle = qr.upperTriangularMatrix;
  for (let j = 0; j < columns.length; j++) if (Math.abs(triangle.get(j, j)) < 1e-11) return null;
  return solved(design, qr, right, root, lengths);
}

function solved(
  design: Matrix,
  qr: QrDecomposition,
  right: readonly number[],
  root: readonly number[],
  lengths: readonly number[],
): LinearFit {
  const leftOver = (scaled: Matrix): Matrix =>
    Matrix.sub(Matrix.columnVector([...right]), design.mmul(scaled));
  const first = qr.solve(Matrix.columnVector([...right]));
  const scaled = Matrix.add(first, qr.solve(leftOver(first)));
  const over = leftOver(scaled).to1DArray();
  const sse = over.reduce((sum, r) => sum + r * r, 0);
  const freedom = right.length - lengths.length;
  const inverse = solve(qr.upperTriangularMatrix, Matrix.eye(lengths.length));
  const errors = lengths.map((length, j) => Math.sqrt((sse / freedom) * norm2(inverse.getRow(j))) / length);
  return {
    coefficients: scaled.to1DArray().map((value, j) => value / lengths[j]!),
    standardErrors: freedom > 0 ? errors : null,
    residuals: over.map((r, i) => r / root[i]!),
    sse,
    freedom,
  };
}

const norm2 = (values: readonly number[]): number => values.reduce((sum, value) => sum + value * value, 0);
