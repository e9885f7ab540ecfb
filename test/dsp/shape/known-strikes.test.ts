import { expect, test } from 'vitest';
import { Candidates } from '../../../dsp/impulses/candidates';
import { KnownStrikes } from '../../../dsp/shape/known-strikes';

/** Which of what stands at these times may be strikes, where those at some of them are known. */
function mayBe(timesS: readonly number[], knownS: readonly number[], steps: readonly number[]): number[] {
  const all = new Candidates('sharp');
  for (const timeS of timesS) all.add(timeS, 1, 1, 0.2, 0, 0);
  const known = new KnownStrikes(
    all,
    knownS.map((timeS) => timesS.indexOf(timeS)),
    steps,
  );
  return timesS.filter((_, candidate) => known.mayBe(candidate));
}

test('what stands off is none, up to the last that is known; after it anything may be', () => {
  const known = [0, 0.1, 0.2, 0.3];
  expect(mayBe([0, 0.05, 0.1, 0.12, 0.2, 0.29, 0.3, 0.31, 0.35], known, [0, 1, 1, 1])).toEqual([
    ...known,
    0.31,
    0.35,
  ]);
});

test('where one is missing, what stands near its place may be it', () => {
  expect(mayBe([0, 0.1, 0.15, 0.197, 0.21, 0.3, 0.4], [0, 0.1, 0.3, 0.4], [0, 1, 2, 1])).toEqual([
    0, 0.1, 0.197, 0.3, 0.4,
  ]);
});

test('a known strike off the middle of its neighbours may be noise beside the true one', () => {
  expect(mayBe([0, 0.1, 0.2004, 0.206, 0.212, 0.3, 0.4], [0, 0.1, 0.206, 0.3, 0.4], [0, 1, 1, 1, 1])).toEqual(
    [0, 0.1, 0.2004, 0.206, 0.3, 0.4],
  );
});
