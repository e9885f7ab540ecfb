/** What a kind's table of eight seeds hides: many draws of the hardest kinds, the shares of strikes found and true, and
 * each draw that fell behind. CLAMPLINE_DRAWS_FIRST and CLAMPLINE_DRAWS for the seeds, CLAMPLINE_DRAWS_KIND for kinds by
 * name (a semicolon between), CLAMPLINE_DRAWS_RATE for one rate, hertz. */
import { scoreScenario } from '../helpers/score-scenario';
import type { Score } from '../helpers/score-strikes';
import { HARDER_KINDS, KINDS } from '../helpers/signal-kinds';

const FIRST = Number(process.env['CLAMPLINE_DRAWS_FIRST'] ?? 30_000);
const DRAWS = Number(process.env['CLAMPLINE_DRAWS'] ?? 30);
const RATES = process.env['CLAMPLINE_DRAWS_RATE']
  ? [Number(process.env['CLAMPLINE_DRAWS_RATE'])]
  : [44_100, 48_000, 96_000];
const HARDEST = ['all together', 'noise at 12 dB', 'crosstalk 62 %', 'noise at 12 dB, misfires'];
const WANTED = process.env['CLAMPLINE_DRAWS_KIND']?.split(';') ?? HARDEST;
/** A draw is shown by itself that falls so far behind, or tells a speed that is so far off. */
const BEHIND = 0.98;
const SPEED_OFF = 0.05;

interface Drawn {
  readonly seed: number;
  readonly rateHz: number;
  readonly score: Score;
}
const found = ({ score }: Drawn): number => score.matched / score.trueStrikes;
const right = ({ score }: Drawn): number => score.matched / Math.max(1, score.accepted);
const farOff = ({ score }: Drawn): number =>
  score.speedErrors.filter((error) => Math.abs(error) > SPEED_OFF).length;
const percent = (share: number): string => (100 * share).toFixed(2).padStart(6);

function shown(drawn: Drawn): string {
  const { seed, rateHz, score } = drawn;
  const worst = (100 * score.worstSpeedError).toFixed(1);
  return `  ${seed} at ${rateHz} Hz: found ${percent(found(drawn))} %, true ${percent(right(drawn))} %, ${farOff(drawn)} speeds more than 5 % off, the worst ${worst} %`;
}

function benchKind(name: string): void {
  const kind = [...KINDS, ...HARDER_KINDS].find((each) => each.name === name);
  if (!kind) throw new Error(`No kind of signal is named "${name}".`);
  const all: Drawn[] = [];
  for (let seed = FIRST; seed < FIRST + DRAWS; seed++)
    for (const rateHz of RATES) all.push({ seed, rateHz, score: scoreScenario(kind.scenario(seed, rateHz)) });
  const total = (of: (score: Score) => number): number => all.reduce((sum, { score }) => sum + of(score), 0);
  const matched = total((score) => score.matched);
  console.log(
    `${name}, ${all.length} draws: found ${percent(matched / total((score) => score.trueStrikes))} %, true ${percent(matched / total((score) => score.accepted))} %`,
  );
  const behind = all.filter((one) => found(one) < BEHIND || right(one) < BEHIND || farOff(one) > 0);
  for (const one of behind) console.log(shown(one));
}

export function benchDraws(): void {
  for (const name of WANTED) benchKind(name);
}
