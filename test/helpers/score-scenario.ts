/** A scenario through the maker and the decoder, and what the decoder gave scored against the truth. */
import type { Scenario } from '../../core/scenario/scenario';
import { runDecoder } from './run-decoder';
import { scoreStrikes, type Score } from './score-strikes';

/** Leads that are heard in turn: all of a coil lead's, one of a plug lead's. */
export const leadsHeard = ({ engine }: Scenario): number => (engine.pickup === 'coil' ? engine.cylinders : 1);

export function scoreScenario(scenario: Scenario): Score {
  const { found, truth } = runDecoder(scenario);
  return scoreStrikes(found, truth, leadsHeard(scenario));
}
