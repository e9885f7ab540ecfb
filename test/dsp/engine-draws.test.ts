/** Draws of engines of other kinds than the tables', once read wrongly, each for a reason of its own. Truth is the maker's. */
import { expect, test } from 'vitest';
import { engineDraw, type DrawnEngine, type Drive } from '../helpers/engine-draws';
import { scoreScenario } from '../helpers/score-scenario';

interface Draw {
  readonly why: string;
  readonly engine: DrawnEngine;
  readonly drive: Drive;
  readonly seed: number;
  readonly least?: number;
}
const MISFIRE = 'a blip begins with a misfire, and its next interval is as long as the last one at idle';
const DRAWS: readonly Draw[] = [
  { why: MISFIRE, engine: [4, 2, 'wasted'], drive: 'blip', seed: 4 },
  { why: MISFIRE, engine: [4, 6, 'wasted'], drive: 'blip', seed: 15 },
  { why: MISFIRE, engine: [2, 3, 'plug'], drive: 'blip', seed: 15 },
  { why: 'its ringing is as tall as its kicks', engine: [2, 2, 'coil'], drive: 'blip', seed: 501 },
  { why: 'every third strike of the first is missing', engine: [2, 2, 'coil'], drive: 'idle', seed: 501 },
  // a second of it is lost until what is passed by tells
  { why: 'a blip is taken for strays', engine: [4, 12, 'plug'], drive: 'blip', seed: 15, least: 0.75 },
];
const LEAST = 0.98;

test.each(DRAWS)(
  '$engine, $drive: strikes are found though $why',
  ({ engine, drive, seed, least = LEAST }) => {
    const { matched, trueStrikes, accepted } = scoreScenario(engineDraw(engine, drive, seed));
    expect(matched / trueStrikes).toBeGreaterThan(least);
    expect(matched / accepted).toBeGreaterThan(LEAST);
  },
);
