/** When a speed is too old to be shown. The last strike in, a yes or no out. */
import { strikesPerTurn } from '../../core/engine';
import type { AnalysisEngine, Latest } from '../worker/analysis-api';

/** A speed is too old after so many intervals, and what sound needs on its way here. */
const STALE_INTERVALS = 4;
const STALE_S = 0.4;

/** No speed is stale too. */
export function isStale({ rpm, strikeAgeS }: Latest, engine: AnalysisEngine): boolean {
  if (rpm === null || strikeAgeS === null) return true;
  const intervalS = 60 / (rpm * strikesPerTurn(engine));
  return strikeAgeS > STALE_INTERVALS * intervalS + STALE_S;
}
