/** The first two steps: set the total at the all-in speed, see what idle then reads. Facts in, steps out. */
import { housingAdvice, missingFacts, STOPPED } from '../advice';
import { housingFigures, housingWords } from './housing-words';
import type { WorkFacts } from './work-facts';
import { exactly, said, saidFigure, shows, type WorkFigure, type WorkStep } from './work-step';

/** Set the total at the all-in speed and lock the housing.
 * @source Common practice */
export function totalStep(facts: WorkFacts): WorkStep {
  const { fit, target, engine, limits, knocks, wanted } = facts;
  const advice = housingAdvice(fit, target, engine, 'total', { limits, knocks });
  const figures: WorkFigure[] = [
    { name: 'Total now', unit: 'deg', figure: fit.totalDeg },
    { name: 'Total wanted', unit: 'deg', figure: exactly(wanted.totalDeg) },
    { name: 'All-in speed', unit: 'rpm', figure: fit.allInRpm },
  ];
  const step = { key: 'total', title: 'Set the total at the all-in speed', cautions: [] } as const;
  if (fit.totalDeg === null || fit.allInRpm === null)
    return {
      ...{ ...step, figures, state: 'not seen', sentences: [] },
      asks: ['Read on past the speed where the advance stops rising: two or three readings on that level.'],
    };
  const underLimit = limits.mostTotalDeg === null || fit.totalDeg.value <= limits.mostTotalDeg;
  if (advice.kind === 'leave' || (underLimit && shows(fit.totalDeg, wanted.totalDeg, target.bandDeg)))
    return { ...step, figures, state: 'done', sentences: [], asks: [] };
  const move = advice.moveDeg;
  if (move === null)
    return { ...step, figures, state: 'blocked', sentences: [], asks: [], cautions: advice.sentences };
  return {
    ...{ ...step, state: 'do', figures: [...figures, ...housingFigures(move, engine)] },
    sentences: [
      `Stop the engine and ${housingWords(move, engine)}: ${said(move.value, 'deg')} at the crank.`,
      `Lock it, and read the total at ${saidFigure(fit.allInRpm, 'rpm')} rpm or above: ${said(wanted.totalDeg, 'deg')} is wanted.`,
    ],
    asks: missingFacts(engine).map((fact) => `Wanted to say it in full: ${fact}.`),
    cautions: [...advice.cautions],
  };
}

/** See what idle reads.
 * @source Common practice: with the total set and the housing locked */
export function idleStep(facts: WorkFacts): WorkStep {
  const { fit, target, engine, limits, knocks, idleDeg, wanted } = facts;
  const advice = housingAdvice(fit, target, engine, 'total', { limits, knocks });
  const after = advice.kind === 'turn' ? advice.idleAfterDeg : null;
  const figures: WorkFigure[] = [{ name: 'Idle reads', unit: 'deg', figure: idleDeg }];
  if (idleDeg && after)
    figures.push(
      { name: 'With the total set', unit: 'deg', figure: after },
      { name: 'Initial wanted', unit: 'deg', figure: exactly(wanted.initialDeg) },
    );
  const step = { key: 'idle', title: 'See what idle reads', figures, cautions: [] } as const;
  if (engine.idleRpm === null)
    return { ...step, state: 'not seen', sentences: [], asks: ['Say in Engine at which speed it idles.'] };
  if (idleDeg === null)
    return { ...step, state: 'not seen', sentences: [], asks: ['Take two or three readings at idle.'] };
  const sentences = after
    ? [
        `Idle reads ${said(idleDeg.value, 'deg')} degrees now and will read ${said(after.value, 'deg')} once the total is set; ${said(wanted.initialDeg, 'deg')} is wanted.`,
      ]
    : [];
  return { ...step, state: 'done', sentences, asks: [], cautions: after ? [STOPPED] : [] };
}
