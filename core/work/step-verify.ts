/** The last step: a run shows the whole curve inside the band, under the limits, without knock. */
import type { Run } from '../job';
import { limitWarnings } from '../limits';
import { compareWithTarget } from '../result';
import { RUN_AGAIN } from './work-words';
import type { WorkFacts } from './work-facts';
import { exactly, said, type WorkFigure, type WorkStep } from './work-step';

/** Verify by a run. */
export function verifyStep(facts: WorkFacts, run: Pick<Run, 'knocks'>): WorkStep {
  const { fit, target, engine, limits, idleDeg } = facts;
  const { off, unseen, inBand } = compareWithTarget(fit, target, engine.idleRpm);
  const above = limitWarnings({ totalDeg: fit.totalDeg, idleDeg }, limits);
  const worst = off.toSorted((a, b) => Math.abs(b.offDeg) - Math.abs(a.offDeg))[0];
  const figures: WorkFigure[] = worst
    ? [
        { name: 'Furthest off the target', unit: 'deg', figure: exactly(Math.abs(worst.offDeg)) },
        { name: 'That is at', unit: 'rpm', figure: exactly(worst.atRpm) },
        { name: 'The band allows', unit: 'deg', figure: exactly(target.bandDeg) },
      ]
    : [];
  const knocked = run.knocks.length > 0;
  const done = inBand === true && unseen.length === 0 && above.length === 0 && !knocked;
  const step = { key: 'verify', title: 'Verify by a run', figures } as const;
  const cautions = [
    ...above.map(({ text }) => text),
    ...(knocked ? ['Knock was noted in this run: it verifies nothing until a run goes without.'] : []),
  ];
  if (done) return { ...step, state: 'done', sentences: [], asks: [], cautions };
  const sentences = worst
    ? [
        `At ${said(worst.atRpm, 'rpm')} rpm the curve lies ${said(worst.offDeg, 'deg')} degrees ${worst.offDeg > 0 ? 'above' : 'below'} the target; the band allows ${said(target.bandDeg, 'deg')}.`,
      ]
    : [];
  const state = inBand === null || (unseen.length > 0 && !worst) ? 'not seen' : 'do';
  return { ...step, state, sentences, asks: [RUN_AGAIN, ...unseen.map(({ text }) => text)], cautions };
}
