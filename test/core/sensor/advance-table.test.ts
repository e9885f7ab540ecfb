/** The advance of every spark on made recordings of two channels: sensors of every kind, narrow and wide, either way up,
 * the ignition leaking in at a fifth, noise 35 dB below, sparks that scatter by a quarter degree, pulses missing. Printed
 * as a table; CLAMPLINE_TABLE_SEEDS sets how many seeds. The truth is the signal maker's. */
import { afterAll, expect, test } from 'vitest';
import { PLAIN_SCENARIO, type Scenario } from '../../../core/scenario/scenario';
import { simulate, type TrueStrike } from '../../../core/scenario/simulate';
import { CLEAN_SOUND, PLAIN_SENSOR } from '../../../core/scenario/sound';
import { createAdvanceDecoder } from '../../../core/sensor/advance-decoder';

const SEEDS = Number(process.env['CLAMPLINE_TABLE_SEEDS'] ?? 1);
const KINDS = ['optical', 'reluctance', 'hall'] as const;
const WIDTHS_US = [50, 150, 300] as const;
const RATES_HZ = [44_100, 48_000, 96_000] as const;
const SCATTER_DEG = 0.25;
const CASES = KINDS.flatMap((kind, k) =>
  WIDTHS_US.map((widthUs, w) => ({ kind, widthUs, rateHz: RATES_HZ[(k + w) % 3]! })),
).flatMap((each) => Array.from({ length: SEEDS }, (_, seed) => ({ ...each, seed: seed + 1 })));

const scenarioOf = ({ kind, widthUs, rateHz, seed }: (typeof CASES)[number]): Scenario => ({
  ...PLAIN_SCENARIO,
  ...{ seed, sampleRateHz: rateHz, seconds: 24, sparkScatterDeg: SCATTER_DEG },
  profile: {
    corners: [
      { timeS: 0, rpm: 700 },
      { timeS: 3, rpm: 700 },
      { timeS: 13, rpm: 6000 },
      { timeS: 24, rpm: 700 },
    ],
    wanderShare: 0.002,
  },
  sensor: {
    ...PLAIN_SENSOR,
    ...{ shape: { kind, widthS: widthUs * 1e-6 }, beforeTdcDeg: 60, missedShare: 0.01, leakShare: 0.2 },
  },
  sound: { ...CLEAN_SOUND, noiseBelowDb: 35, inverted: seed % 2 === 0 },
});

interface Pair {
  readonly rpm: number;
  readonly errorDeg: number;
}

function decoded(scenario: Scenario): { pairs: Pair[]; share: number } {
  const simulation = simulate(scenario);
  const rows: { timeS: number; advanceDeg: number }[] = [];
  const truth: TrueStrike[] = [];
  const { sampleRateHz, engine } = scenario;
  const place = { angleDeg: 60, delayUs: 0 };
  const decoder = createAdvanceDecoder({ sampleRateHz, engine }, place, {
    advance: (timeS, _rpm, advanceDeg) => rows.push({ timeS, advanceDeg }),
  });
  for (const [clamp, sensor] of simulation.blocks) {
    decoder.push(clamp!, sensor!);
    truth.push(...simulation.takeStrikes());
  }
  decoder.finish();
  const fired = [...truth, ...simulation.takeStrikes()].filter(({ fate }) => fate === 'fired');
  let next = 0;
  const pairs = fired.flatMap(({ timeS, rpm, advanceDeg }) => {
    while (next < rows.length && rows[next]!.timeS < timeS! - 1e-3) next++;
    const row = rows[next];
    return row && Math.abs(row.timeS - timeS!) < 1e-3
      ? [{ rpm: rpm!, errorDeg: row.advanceDeg - advanceDeg! }]
      : [];
  });
  return { pairs, share: pairs.length / fired.length };
}

/** A constant delay between the channels is a line over speed: taken out, the constant stays. */
function withoutDelay(pairs: readonly Pair[]): Pair[] {
  const n = pairs.length;
  const meanRpm = pairs.reduce((sum, { rpm }) => sum + rpm, 0) / n;
  const meanError = pairs.reduce((sum, { errorDeg }) => sum + errorDeg, 0) / n;
  const power = pairs.reduce((sum, { rpm }) => sum + (rpm - meanRpm) ** 2, 0);
  const slope =
    pairs.reduce((sum, { rpm, errorDeg }) => sum + (rpm - meanRpm) * (errorDeg - meanError), 0) / power;
  return pairs.map(({ rpm, errorDeg }) => ({ rpm, errorDeg: errorDeg - slope * rpm }));
}

/** Mean and scatter of the error in each thousand rpm. */
const byThousand = (pairs: readonly Pair[]): { mean: number; sd: number }[] =>
  [500, 1500, 2500, 3500, 4500, 5500].map((from) => {
    const errors = pairs
      .filter(({ rpm }) => rpm >= from && rpm < from + 1000)
      .map(({ errorDeg }) => errorDeg);
    const mean = errors.reduce((a, b) => a + b, 0) / errors.length;
    return { mean, sd: Math.sqrt(errors.reduce((sum, each) => sum + (each - mean) ** 2, 0) / errors.length) };
  });

const lines: string[] = [];
test.each(CASES)('$kind, $widthUs µs wide, at $rateHz Hz, seed $seed', (each) => {
  const { pairs, share } = decoded(scenarioOf(each));
  const bins = byThousand(withoutDelay(pairs));
  const worstMean = Math.max(...bins.map(({ mean }) => Math.abs(mean)));
  // own noise adds to the sparks' scatter in squares
  const worstScatter = Math.max(...bins.map(({ sd }) => Math.hypot(sd, SCATTER_DEG) / SCATTER_DEG - 1));
  lines.push(
    `${each.kind.padEnd(10)} ${String(each.widthUs).padStart(3)} µs ${each.rateHz} Hz: ${(100 * share).toFixed(2)} % of sparks, mean off ${worstMean.toFixed(3)} deg at most, scatter ${(100 * worstScatter).toFixed(1)} % too large at most`,
  );
  expect(share).toBeGreaterThanOrEqual(0.995);
  expect(worstMean).toBeLessThan(0.1);
  expect(worstScatter).toBeLessThan(0.1);
});
afterAll(() => console.log(lines.join('\n')));
