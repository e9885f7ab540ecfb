/** The fit of the run on show, kept up to date behind what the person does: the point is drawn first, then fitted. */
import { afterFrame, type Later } from '../after-frame';
import type { CurveFit, CurvePoint } from '../../core/fit';
import type { Run } from '../../core/job';
import { curvePoints } from '../../core/reading';

export type FitPoints = (points: readonly CurvePoint[]) => Promise<CurveFit>;

/** In the thread that is kept for it; where there is none, here. */
const fitAside: FitPoints = async (points) => {
  try {
    return await (await import('../fit/fit-thread')).fitInThread(points);
  } catch {
    return (await import('../../core/fit')).fitCurve(points);
  }
};

export class FitKeeper {
  #fit: CurveFit | null = $state.raw(null);
  readonly #later: Later;
  readonly #fitPoints: FitPoints;
  #runId: string | null = null;
  #wanted: Run | null = null;
  #fitted = '';
  #due = false;

  constructor(later: Later | undefined, fitPoints: FitPoints | undefined) {
    this.#later = later ?? afterFrame;
    this.#fitPoints = fitPoints ?? fitAside;
  }

  get fit(): CurveFit | null {
    return this.#fit;
  }

  /** To be called whenever the run on show may have changed. */
  follow(run: Run | null): void {
    if ((run?.id ?? null) !== this.#runId) {
      this.#fit = null; // never another run's curve
      this.#fitted = '';
      this.#runId = run?.id ?? null;
    }
    this.#wanted = run;
    if (this.#due || !run) return;
    this.#due = true;
    this.#later(() => void this.#fitNow());
  }

  async #fitNow(): Promise<void> {
    this.#due = false;
    const points = this.#wanted ? curvePoints(this.#wanted) : [];
    const key = JSON.stringify(points);
    if (key === this.#fitted) return;
    this.#fitted = key;
    const fit = points.length > 0 ? await this.#fitPoints(points).catch(() => null) : null;
    if (this.#fitted === key) this.#fit = fit; // unless more has been read meanwhile
  }
}
