/** The fit of the run on show, kept up to date behind what the person does: the point is drawn first, then fitted. */
import { fitCurve, type CurveFit } from '../../core/fit';
import type { Run } from '../../core/job';
import { curvePoints } from '../../core/reading';

export type Later = (task: () => void) => void;

/** After the next frame is drawn. In a hidden tab, which draws none, soon. */
const afterFrame: Later = (task) => {
  if (typeof requestAnimationFrame !== 'function' || document.hidden) setTimeout(task, 0);
  else requestAnimationFrame(() => setTimeout(task, 0));
};

export class FitKeeper {
  #fit: CurveFit | null = $state.raw(null);
  readonly #later: Later;
  #runId: string | null = null;
  #wanted: Run | null = null;
  #fitted = '';
  #due = false;

  constructor(later: Later | undefined) {
    this.#later = later ?? afterFrame;
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
    this.#later(() => this.#fitNow());
  }

  #fitNow(): void {
    this.#due = false;
    const points = this.#wanted ? curvePoints(this.#wanted) : [];
    const key = JSON.stringify(points);
    if (key === this.#fitted) return;
    this.#fitted = key;
    this.#fit = points.length > 0 ? fitCurve(points) : null;
  }
}
