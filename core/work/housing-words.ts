/** How the housing is turned, as figures and words: crank degrees and the engine's facts in. */
import { arcMm, housingDeg, housingTurn } from '../angle';
import type { EngineFacts } from '../engine';
import type { Figure } from '../fit';
import { said, times, type WorkFigure } from './work-step';

type Facts = Pick<EngineFacts, 'strokes' | 'rotorSense' | 'housingDiameterMm'>;

const size = ({ value, low, high }: Figure): Figure =>
  value >= 0 ? { value, low, high } : { value: -value, low: -high, high: -low };

/** The move at the crank, at the housing (half of it on a four-stroke), and along the rim where the diameter is said. */
export function housingFigures(moveDeg: Figure, { strokes, housingDiameterMm }: Facts): WorkFigure[] {
  const crank = size(moveDeg);
  const housing = times(crank, housingDeg(1, strokes));
  const name = moveDeg.value >= 0 ? 'Advance by' : 'Retard by';
  const figures: WorkFigure[] = [
    { name: `${name}, at the crank`, unit: 'deg', figure: crank },
    { name: 'At the housing', unit: 'deg', figure: housing },
  ];
  if (housingDiameterMm !== null)
    figures.push({ name: 'Along its rim', unit: 'mm', figure: times(housing, arcMm(housingDiameterMm, 1)) });
  return figures;
}

/** "turn the housing 3.5 degrees clockwise seen from above the cap, with the rotor, 2.7 mm along its rim". */
export function housingWords(moveDeg: Figure, facts: Facts): string {
  const [, housing, rim] = housingFigures(moveDeg, facts);
  const way = moveDeg.value >= 0 ? 'advance' : 'retard';
  const seen =
    facts.rotorSense === null ? '' : `${housingTurn(facts.rotorSense, way)} seen from above the cap, `;
  const sense = `${seen}${way === 'advance' ? 'against' : 'with'} the rotor’s rotation`;
  const along = rim ? `, ${said(rim.figure!.value, 'mm')} mm along its rim` : '';
  return `turn the housing ${said(housing!.figure!.value, 'deg')} degrees ${sense}${along}`;
}
