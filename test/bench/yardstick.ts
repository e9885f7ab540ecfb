/** Kind by kind, the chain and the yardstick on the same sound: strikes found, accepted ones true, scatter of their times,
 * middle and worst speed error of both saved traces; beside them our worst on the screen, which knows nothing of what comes
 * after. CLAMPLINE_BENCH_SEEDS=4 draws as many of each kind. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { strikesPerTurn } from '../../core/engine';
import type { Scenario } from '../../core/scenario/scenario';
import { simulateWhole } from '../../core/scenario/simulate';
import { runDecoder } from '../helpers/run-decoder';
import { scoreStrikes, type Found, type Score } from '../helpers/score-strikes';
import { HARDER_KINDS, KINDS } from '../helpers/signal-kinds';
import { formatBody, riff } from '../helpers/wav-bytes';
import { run } from './process';
import { YARDSTICK } from './settings';

const SEEDS = Number(process.env['CLAMPLINE_BENCH_SEEDS'] ?? 1);
const RATE_HZ = 44_100;

const rowsOf = (path: string): number[][] =>
  readFileSync(path, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').map(Number));

async function byYardstick(made: Scenario, folder: string): Promise<Found[]> {
  const [wav, strikes, trace] = ['y.wav', 's.csv', 't.csv'].map((name) => join(folder, name));
  const samples = simulateWhole(made).channels[0]!;
  const body = new Uint8Array(Int16Array.from(samples, (x) => Math.round(x * 32767)).buffer);
  const format = formatBody({ rateHz: RATE_HZ });
  writeFileSync(
    wav!,
    riff([
      { id: 'fmt ', body: format },
      { id: 'data', body },
    ]),
  );
  const turns = String(1 / strikesPerTurn(made.engine));
  const out = ['--strikes', strikes!, '--trace', trace!];
  await run('python3', [YARDSTICK, wav!, '--revs-per-strike', turns, ...out]);
  const rpmAt = new Map(rowsOf(trace!).map(([timeS, rpm]) => [timeS!.toFixed(5), rpm!]));
  return rowsOf(strikes!).map(([timeS]) => ({
    timeS: timeS!,
    rpm: rpmAt.get(timeS!.toFixed(5)) ?? null,
    rpmSd: 1,
  }));
}

const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? NaN;
const sum = (values: readonly number[]): number => values.reduce((total, each) => total + each, 0);

function cells(scores: readonly Score[]): string {
  const matched = sum(scores.map((s) => s.matched));
  const errors = scores.flatMap((s) => s.speedErrors.map(Math.abs));
  return [
    (100 * matched) / sum(scores.map((s) => s.trueStrikes)),
    (100 * matched) / sum(scores.map((s) => s.accepted)),
    1e6 * middle(scores.map((s) => s.scatterS)),
    100 * middle(errors),
    100 * Math.max(...errors),
  ]
    .map((value) => value.toFixed(2).padStart(8))
    .join('');
}

const worstSpeed = (scores: readonly Score[]): string =>
  (100 * Math.max(...scores.map((score) => score.worstSpeedError))).toFixed(2).padStart(8);

/** @param folder where files may be put */
export async function benchYardstick(folder: string): Promise<void> {
  if (!existsSync(YARDSTICK)) return console.log('yardstick: not here, nothing to compare with');
  const works = await run('python3', ['-c', 'import numpy, scipy']).catch(() => null);
  if (!works) return console.log('yardstick: python3 with numpy and scipy is not here');
  console.log(
    `${'each: found %, true %, scatter us, speed error % middle and worst of the trace; worst of ours on the screen'.padEnd(35)}`,
  );
  for (const kind of [...KINDS, ...HARDER_KINDS]) {
    const [ours, theirs, onScreen]: Score[][] = [[], [], []];
    for (let seed = 0; seed < SEEDS; seed++) {
      const made = { ...kind.scenario(seed, RATE_HZ), bits: 16 as const };
      const { found, truth } = runDecoder(made, 'trace');
      ours!.push(scoreStrikes(found, truth));
      onScreen!.push(scoreStrikes(runDecoder(made).found, truth));
      theirs!.push(scoreStrikes(await byYardstick(made, folder), truth));
    }
    console.log(
      `${kind.name.padEnd(35)}${cells(ours!)}   yardstick${cells(theirs!)}   screen${worstSpeed(onScreen!)}`,
    );
  }
}
