/** The contract with the practice engine's thread: the bench's controls in, where things stand out. Its sound goes on a
 * port straight to the analysis, as a line input's does. */
import type { PracticeState } from '../../core/practice/practice-engine';
import type { AnalysisEngine } from '../worker/analysis-api';

export interface PracticeSetUp {
  readonly sampleRateHz: number;
  readonly seed: number;
  readonly engine: AnalysisEngine;
  readonly housingDeg: number;
  readonly springsId: string;
  readonly stopId: string;
}

export interface PracticeApi {
  /** Cranks and starts the engine, in real time from now on. @throws RangeError for a fact that cannot be */
  start(setUp: PracticeSetUp): void;
  /** Where its SoundBlocks go from now on. */
  sendTo(blocks: MessagePort): void;
  setThrottle(share: number): void;
  setHousing(deg: number): void;
  fit(springsId: string, stopId: string): void;
  holdSpeed(rpm: number | null): void;
  /** null before it is started. */
  state(): PracticeState | null;
}
