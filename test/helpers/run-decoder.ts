/** A scenario through the maker and the decoder, block by block. */
import { createDecoder, type DecodeSummary } from '../../core/decode';
import type { Scenario } from '../../core/scenario/scenario';
import { simulate, type TrueStrike } from '../../core/scenario/simulate';
import type { Found } from './score-strikes';

export interface Run {
  readonly found: Found[];
  readonly truth: TrueStrike[];
  readonly summary: DecodeSummary;
}

export function runDecoder(scenario: Scenario): Run {
  const found: { timeS: number; rpm: number | null; rpmSd: number | null }[] = [];
  const simulation = simulate(scenario);
  const decoder = createDecoder(
    { sampleRateHz: scenario.sampleRateHz, engine: scenario.engine },
    {
      strike: (timeS) => found.push({ timeS, rpm: null, rpmSd: null }),
      row: (timeS, rpm, rpmSd) => Object.assign(found[found.length - 1]!, { timeS, rpm, rpmSd }),
    },
  );
  const truth: TrueStrike[] = [];
  for (const [samples] of simulation.blocks) {
    decoder.push(samples!);
    truth.push(...simulation.takeStrikes());
  }
  decoder.finish();
  truth.push(...simulation.takeStrikes());
  return { found, truth, summary: decoder.summary() };
}
