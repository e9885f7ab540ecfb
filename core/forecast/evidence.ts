/** Which kind of curve the readings support: the mechanism's balance of moments or a line broken in the speed, each in
 * its plainest and its richer forms, all with the same scatter. Runs in; costs, a verdict and a sentence out. */
import { climb, type LogDensity } from './sampler';
import { likelihoodOf, priorOf } from './likelihood';
import { type Layout, SHARED } from './parameters';
import { type Posterior, startsFor } from './posterior';

export type CurveKind = 'mechanism' | 'broken line';

export interface Candidate {
  readonly kind: CurveKind;
  /** The weights' moment grows; a second spring (or slope) takes hold. */
  readonly growing: boolean;
  readonly second: boolean;
  /** How many figures it has, the scatter's counted. */
  readonly figures: number;
  readonly logLikelihood: number;
  /** Bayesian information criterion, for few readings: less is better. */
  readonly cost: number;
}

export interface Evidence {
  /** The best first. */
  readonly candidates: readonly Candidate[];
  /** null: the readings cannot tell them apart. */
  readonly supports: CurveKind | null;
  /** The best broken line's cost less the best mechanism's: above 0 for the mechanism. */
  readonly forMechanism: number;
  readonly text: string;
}

/** A difference that counts as strong.
 * @source R. E. Kass and A. E. Raftery, J. Am. Stat. Assoc. 90 (1995) 773 (from memory) */
const STRONG = 6;
const ROUNDS = 250;

const FORMS = [
  { kind: 'broken line', growing: false, second: false },
  { kind: 'broken line', growing: false, second: true },
  { kind: 'mechanism', growing: false, second: false },
  { kind: 'mechanism', growing: true, second: false },
  { kind: 'mechanism', growing: false, second: true },
  { kind: 'mechanism', growing: true, second: true },
] as const;
type Form = (typeof FORMS)[number];

/** The coordinates that a form leaves free, and the density with the others held. */
function held(layout: Layout, density: LogDensity, form: Form): LogDensity {
  const seconds = [...layout.secondSprings.values()];
  return (free) => {
    const point = free.slice();
    point[SHARED.power] = form.kind === 'mechanism' ? -1 : 2;
    if (!form.growing) point[SHARED.growth] = 0;
    for (const at of seconds) point[at] = form.second ? Math.abs(point[at]!) : -1;
    return density(point);
  };
}

function figuresOf(layout: Layout, { growing, second }: Form): number {
  const power = 1;
  return layout.size - power - (growing ? 0 : 1) - (second ? 0 : 2 * layout.secondSprings.size);
}

/** Half from what was drawn already, half from all around first sight. */
function startsOf(posterior: Posterior): Float64Array[] {
  const { draws, layout } = posterior;
  const each = Math.max(18, 2 * layout.size);
  const spaced = Array.from({ length: each }, (_, i) => draws[Math.floor((i * draws.length) / each)]!);
  return [...spaced, ...startsFor(posterior, each, 5)];
}

function candidateOf(posterior: Posterior, form: Form): Candidate {
  const { layout, runs } = posterior;
  const possible = priorOf(
    layout,
    runs.map((run) => run.parts),
  );
  const likelihood = likelihoodOf(layout, runs);
  const densities = {
    prior: held(layout, (point) => (possible(point) > -Infinity ? 0 : -Infinity), form),
    likelihood: held(layout, likelihood, form),
  };
  const { height } = climb(densities, startsOf(posterior), ROUNDS, 3);
  const figures = figuresOf(layout, form);
  const count = runs.reduce((sum, { points }) => sum + points.length, 0);
  const fewness = count / Math.max(1, count - figures - 2);
  return { ...form, figures, logLikelihood: height, cost: figures * Math.log(count) * fewness - 2 * height };
}

/** Compares the mechanism with the broken line on the same readings and scatter.
 * @source G. Schwarz, Annals of Statistics 6 (1978) 461: figures·ln(readings) − 2·ln(likelihood); the first term times
 * n / (n − figures − 2) where readings are few: A. D. R. McQuarrie and C.-L. Tsai, Regression and Time Series Model
 * Selection (1998), ch. 2 (both from memory) */
export function evidenceOf(posterior: Posterior): Evidence {
  const hasSecond = posterior.layout.secondSprings.size > 0;
  const count = posterior.runs.reduce((sum, { points }) => sum + points.length, 0);
  const candidates = FORMS.filter((form) => hasSecond || !form.second)
    .filter((form) => !(form.second || form.growing) || figuresOf(posterior.layout, form) < count - 2)
    .map((form) => candidateOf(posterior, form))
    .sort((a, b) => a.cost - b.cost);
  const best = (kind: CurveKind): Candidate => candidates.find((each) => each.kind === kind)!;
  const forMechanism = best('broken line').cost - best('mechanism').cost;
  const supports = forMechanism > STRONG ? 'mechanism' : forMechanism < -STRONG ? 'broken line' : null;
  return { candidates, supports, forMechanism, text: verdict(supports, forMechanism, candidates[0]!) };
}

function verdict(supports: CurveKind | null, difference: number, best: Candidate): string {
  const by = Math.abs(difference).toFixed(1);
  if (supports === null)
    return `The readings cannot tell weights and springs from a straight broken line (difference ${by}, ${STRONG} would be strong).`;
  const second = best.second
    ? supports === 'mechanism'
      ? ', with a second spring'
      : ', with two slopes'
    : '';
  const name = supports === 'mechanism' ? 'weights against springs' : 'a line broken in the speed';
  return `The readings support ${name}${second} (difference ${by}, over ${STRONG} is strong).`;
}
