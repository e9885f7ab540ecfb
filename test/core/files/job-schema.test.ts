/** The published JSON Schema against the schema that the program checks with: ajv, a JSON Schema validator of its own,
 * must take and refuse the same files. */
import Ajv from 'ajv/dist/2020';
import fc from 'fast-check';
import * as v from 'valibot';
import { expect, test } from 'vitest';
import published from '../../../core/files/clampline-job.schema.json';
import { JOB_FORMAT, JOB_VERSION } from '../../../core/job';
import { JOB_LIMITS, jobSchema } from '../../../core/files/job-schema';
import { anyJob, madeJob } from '../../helpers/made-jobs';

const validate = new Ajv({ strict: true, allowUnionTypes: true }).compile(published);
const bothSay = (job: unknown): { published: boolean; program: boolean } => ({
  published: validate(job),
  program: v.safeParse(jobSchema, job).success,
});
const YES = { published: true, program: true };
const NO = { published: false, program: false };
const copy = (job: unknown): Tree => JSON.parse(JSON.stringify(job)) as Tree;
type Tree = Record<string | number, unknown>;

test('the published schema names the format and the version of the program', () => {
  expect(published.properties.format.const).toBe(JOB_FORMAT);
  expect(published.properties.version.const).toBe(JOB_VERSION);
  expect(published.$id).toBe(`urn:clampline:job:${JOB_VERSION}`);
});

test('both take a job of our scenario and any job within the limits', () => {
  expect(bothSay(madeJob())).toEqual(YES);
  fc.assert(
    fc.property(anyJob, (job) => {
      expect(bothSay(job)).toEqual(YES);
    }),
    { seed: 21, numRuns: 300 },
  );
});

/** Every place in a tree, as the keys that lead to it. */
function placesOf(value: unknown, path: readonly (string | number)[] = []): (readonly (string | number)[])[] {
  const below =
    typeof value === 'object' && value !== null
      ? Object.entries(value).flatMap(([key, inner]) =>
          placesOf(inner, [...path, Array.isArray(value) ? Number(key) : key]),
        )
      : [];
  return path.length > 0 ? [path, ...below] : below;
}

function at(tree: Tree, path: readonly (string | number)[]): Tree {
  return path.slice(0, -1).reduce((inner, key) => inner[key] as Tree, tree);
}

const VALUES = [
  null,
  true,
  '',
  'x',
  'plug',
  '2026-05-01T18:30:00Z',
  '2026-05-01',
  0,
  -0.001,
  0.05,
  0.1,
  1,
  1.5,
  2,
  24,
  25,
  90.5,
  -360,
  -361,
  361,
  2000.5,
  30_000,
  30_001,
  1e6 + 1,
  1e7 + 1,
  [],
  {},
  [null],
  'é'.repeat(JOB_LIMITS.idCharacters + 1),
  '漢'.repeat(JOB_LIMITS.nameCharacters),
  '😀'.repeat(JOB_LIMITS.nameCharacters), // two UTF-16 units a letter: both must count letters
  '😀'.repeat(JOB_LIMITS.nameCharacters + 1),
  'n'.repeat(JOB_LIMITS.noteCharacters + 1),
];

test('whatever is put in any one place, both say the same', () => {
  const job = madeJob();
  const taken = { yes: 0, no: 0 };
  for (const path of placesOf(job))
    for (const value of VALUES) {
      const changed = copy(job);
      at(changed, path)[path.at(-1)!] = value;
      const said = bothSay(changed);
      expect([path, value, said.program]).toEqual([path, value, said.published]);
      taken[said.program ? 'yes' : 'no']++;
    }
  expect(taken.yes).toBeGreaterThan(300);
  expect(taken.no).toBeGreaterThan(300);
});

test('whatever field is missing, both refuse, and a field that nobody knows both let pass', () => {
  const job = madeJob();
  for (const path of placesOf(job)) {
    if (typeof path.at(-1) === 'number') continue;
    const without = copy(job);
    Reflect.deleteProperty(at(without, path), path.at(-1)!);
    expect([path, bothSay(without)]).toEqual([path, NO]);
    const more = copy(job);
    at(more, path)['x-later'] = { any: [1] };
    expect([path, bothSay(more)]).toEqual([path, YES]);
  }
});

test('lists may be as long as the limits say and no longer, in both', () => {
  const [run] = madeJob().runs;
  const [reading] = run!.readings;
  const [setUp] = madeJob().setUps;
  const fill = <T>(one: T, count: number): T[] => Array<T>(count).fill(one);
  const bare = { ...run!, readings: [], trace: null };
  const lists: [number, (count: number) => object][] = [
    [JOB_LIMITS.setUps, (count) => ({ setUps: fill(setUp, count) })],
    [JOB_LIMITS.runs, (count) => ({ runs: fill(bare, count) })],
    [JOB_LIMITS.readings, (count) => ({ runs: [{ ...bare, readings: fill(reading, count) }] })],
    [
      JOB_LIMITS.corners,
      (count) => ({ target: { corners: fill({ rpm: 1, advanceDeg: 1 }, count), bandDeg: 1 } }),
    ],
  ];
  for (const [most, patch] of lists) {
    expect(bothSay({ ...madeJob(), ...patch(most) })).toEqual(YES);
    expect(bothSay({ ...madeJob(), ...patch(most + 1) })).toEqual(NO);
  }
  expect(published.$defs.trace.properties.rpm.maxItems).toBe(JOB_LIMITS.traceRows);
});
