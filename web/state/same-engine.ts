/** What a change of the engine's facts changes: two engines in, yes or no out. */
import type { AnalysisEngine } from '../worker/analysis-api';

/** Strikes and sparks are found and counted alike. */
export const sameEngine = (a: AnalysisEngine, b: AnalysisEngine): boolean =>
  sameSound(a, b) && JSON.stringify(a.crankSensor) === JSON.stringify(b.crankSensor); // plain data

/** The practice engine sounds alike. */
export const sameSound = (a: AnalysisEngine, b: AnalysisEngine): boolean =>
  a.strokes === b.strokes &&
  a.cylinders === b.cylinders &&
  a.pickup === b.pickup &&
  (a.crankSensor === null) === (b.crankSensor === null);
