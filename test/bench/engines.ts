/** Engines of nineteen kinds, each held at idle, held, swept and blipped: shares of strikes found and true, speeds far off,
 * and each draw that fell behind. CLAMPLINE_DRAWS_FIRST and CLAMPLINE_DRAWS for the seeds, CLAMPLINE_DRAWS_RATE for the
 * rate, hertz, CLAMPLINE_DRAWS_KIND for one way of driving. */
import { DRIVES, engineDraw, type DrawnEngine, type Drive } from '../helpers/engine-draws';
import { scoreScenario } from '../helpers/score-scenario';
import type { Score } from '../helpers/score-strikes';

const FIRST = Number(process.env['CLAMPLINE_DRAWS_FIRST'] ?? 1);
const DRAWS = Number(process.env['CLAMPLINE_DRAWS'] ?? 4);
const RATE_HZ = Number(process.env['CLAMPLINE_DRAWS_RATE'] ?? 48_000);
const WANTED = process.env['CLAMPLINE_DRAWS_KIND'];
const BEHIND = 0.97;
/** No cycle's own speed, nor what begins between two strikes of a blip, is so far off. */
const FAR_OFF = 0.25;

const ENGINES: readonly DrawnEngine[] = [
  ...[1, 4, 6, 8, 12].map((cylinders) => [4, cylinders, 'plug'] as const),
  ...[2, 4, 6].map((cylinders) => [4, cylinders, 'wasted'] as const),
  ...[1, 2, 3].map((cylinders) => [2, cylinders, 'plug'] as const),
  ...[1, 2].map((cylinders) => [2, cylinders, 'coil'] as const),
  ...[1, 2, 3, 4, 6, 8].map((cylinders) => [4, cylinders, 'coil'] as const),
];

const percent = (share: number): string => (100 * share).toFixed(2).padStart(6);
const farOff = ({ speedErrors }: Score): number =>
  speedErrors.filter((error) => Math.abs(error) > FAR_OFF).length;

function shares(scores: readonly Score[]): string {
  const total = (of: (score: Score) => number): number => scores.reduce((sum, each) => sum + of(each), 0);
  const matched = total((score) => score.matched);
  const found = percent(matched / total((score) => score.trueStrikes));
  const right = percent(
    matched /
      Math.max(
        1,
        total((score) => score.accepted),
      ),
  );
  return `found ${found} %, true ${right} %, ${total(farOff)} speeds more than ${100 * FAR_OFF} % off`;
}

const isBehind = (score: Score): boolean =>
  score.matched < BEHIND * score.trueStrikes || score.matched < BEHIND * score.accepted || farOff(score) > 1;

export function benchEngines(): void {
  const all: Score[] = [];
  for (const engine of ENGINES)
    for (const drive of Object.keys(DRIVES) as Drive[]) {
      if (WANTED && WANTED !== drive) continue;
      const scores = Array.from({ length: DRAWS }, (_, k) =>
        scoreScenario(engineDraw(engine, drive, FIRST + k, RATE_HZ)),
      );
      all.push(...scores);
      const [strokes, cylinders, pickup] = engine;
      console.log(`${strokes}-stroke, ${cylinders}, ${pickup}, ${drive}`.padEnd(28), shares(scores));
      scores.forEach((score, k) => isBehind(score) && console.log(`  ${FIRST + k}:`, shares([score])));
    }
  console.log('all'.padEnd(28), shares(all));
}
