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

/** @param speeds those of the screen, by the strikes so far, or of the saved trace, by what came after as well */
export function runDecoder(scenario: Scenario, speeds: 'screen' | 'trace' = 'screen'): Run {
  const found: { timeS: number; rpm: number | null; rpmSd: number | null }[] = [];
  const at = new Map<number, (typeof found)[number]>();
  const row = (timeS: number, rpm: number, rpmSd: number): void => {
    Object.assign(at.get(timeS)!, { rpm, rpmSd });
  };
  const simulation = simulate(scenario);
  const decoder = createDecoder(
    { sampleRateHz: scenario.sampleRateHz, engine: scenario.engine },
    {
      strike: (timeS) => {
        const strike = { timeS, rpm: null, rpmSd: null };
        found.push(strike);
        at.set(timeS, strike);
      },
      ...(speeds === 'screen' ? { row } : { smoothed: row }),
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
