/** The third step: a wrong initial, the total being right, is cured by the stop. Measured range and the one wanted in;
 * the range that the stop must give and how far the housing then moves out. */
import { KNOCK, MAKER, STOPPED } from '../advice';
import { housingDeg } from '../angle';
import type { Figure } from '../fit';
import { knockBlock } from '../knock-guard';
import { housingFigures, housingWords } from './housing-words';
import type { WorkFacts } from './work-facts';
import { difference, exactly, said, shows, times, type WorkFigure, type WorkStep } from './work-step';

/** What the other stop adds at a speed, the total set again: the whole curve moves with the housing, and is cut off at
 * the total. Past the present all-in a longer range adds no more than the total does. */
function addedBy(facts: WorkFacts, initialMoveDeg: number): (rpm: number) => number | null {
  const { fit, wanted } = facts;
  return (rpm) => {
    const now = fit.predict(rpm);
    if (now === null) return null;
    const pastAllIn = fit.allInRpm !== null && rpm >= fit.allInRpm.low;
    const lengthened = wanted.rangeDeg > fit.rangeDeg!.value;
    const cut = wanted.totalDeg - now;
    return lengthened ? Math.max(initialMoveDeg, pastAllIn ? cut : -Infinity) : Math.min(initialMoveDeg, cut);
  };
}

/** Choose the stop.
 * @source Common practice: total less initial is the range; the total kept, the housing moves with the initial */
export function stopStep(facts: WorkFacts): WorkStep {
  const { fit, target, engine, wanted, knocks } = facts;
  const { initialDeg, totalDeg, rangeDeg } = fit;
  const figures: WorkFigure[] = [
    { name: 'Initial now', unit: 'deg', figure: initialDeg },
    { name: 'Total now', unit: 'deg', figure: totalDeg },
    { name: 'Range now', unit: 'deg', figure: rangeDeg },
    { name: 'Range wanted', unit: 'deg', figure: exactly(wanted.rangeDeg) },
  ];
  const step = { key: 'stop', title: 'Choose the stop', figures } as const;
  const none = { sentences: [], cautions: [] };
  if (initialDeg === null || totalDeg === null || rangeDeg === null)
    return { ...step, ...none, state: 'not seen', asks: [whatIsMissing(initialDeg)] };
  if (shows(rangeDeg, wanted.rangeDeg, target.bandDeg)) return { ...step, ...none, state: 'done', asks: [] };
  const move = difference(exactly(wanted.initialDeg), initialDeg);
  const block = knockBlock(knocks, addedBy(facts, move.value));
  if (block) return { ...step, ...none, state: 'blocked', asks: [], cautions: [block.text] };
  const change = difference(exactly(wanted.rangeDeg), rangeDeg);
  const atDistributor = times(exactly(wanted.rangeDeg), housingDeg(1, engine.strokes));
  return {
    ...step,
    state: 'do',
    figures: [
      ...figures,
      { name: 'Initial wanted', unit: 'deg', figure: exactly(wanted.initialDeg) },
      { name: 'Total wanted', unit: 'deg', figure: exactly(wanted.totalDeg) },
      { name: change.value > 0 ? 'Longer by' : 'Shorter by', unit: 'deg', figure: size(change) },
      { name: 'The stop, at the distributor', unit: 'deg', figure: atDistributor },
      ...housingFigures(move, engine),
    ],
    sentences: [
      `Total ${said(totalDeg.value, 'deg')} with ${said(initialDeg.value, 'deg')} before the weights move is a range of ${said(rangeDeg.value, 'deg')} degrees.`,
      `For ${said(wanted.initialDeg, 'deg')} with a total of ${said(wanted.totalDeg, 'deg')} the stop must give ${said(wanted.rangeDeg, 'deg')}: ${said(change.value, 'deg')} ${change.value > 0 ? 'more' : 'less'}. At the distributor that is ${said(atDistributor.value, 'deg')}.`,
      `With that stop fitted, ${housingWords(move, engine)}: ${said(move.value, 'deg')} at the crank.`,
    ],
    asks: [],
    cautions: move.value > 0 ? [KNOCK, STOPPED, MAKER] : [STOPPED, MAKER],
  };
}

const whatIsMissing = (initialDeg: Figure | null): string =>
  initialDeg === null
    ? 'Read slower, or pin the weights, until the advance stays level: that is the initial timing.'
    : 'Read on past the speed where the advance stops rising.';

const size = ({ value, low, high }: Figure): Figure =>
  value >= 0 ? { value, low, high } : { value: -value, low: -high, high: -low };
