/** What the fit's thread is asked. */
import type { CurvePoint, FitData } from '../../core/fit';

export interface FitApi {
  /** @throws RangeError as `fitCurve` */
  fit(points: readonly CurvePoint[]): FitData;
}
