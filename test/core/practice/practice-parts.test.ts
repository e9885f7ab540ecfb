/** What of the practice engine's bench goes together: its own sets, and none of it beside a person's own parts. */
import { expect, test } from 'vitest';
import { springSets } from '../../../core/forecast/options';
import type { OwnedParts } from '../../../core/job';
import {
  onTheBench,
  PRACTICE_PARTS,
  practiceFitted,
  springsFit,
  stopFits,
} from '../../../core/practice/practice-parts';
import { PRACTICE_SPRINGS, PRACTICE_STOPS } from '../../../core/practice/practice-distributor';

const MINE: OwnedParts = {
  springs: [
    { id: 'mine', name: 'Mine', hung: null, coil: null, notes: '' },
    { id: 'other', name: 'Other', hung: null, coil: null, notes: '' },
  ],
  stops: [{ id: 'bush', name: 'Bush', rangeDeg: 20, notes: '' }],
};

test('what is fitted on the bench is found there again, all twelve of it', () => {
  for (const springs of PRACTICE_SPRINGS)
    for (const stop of PRACTICE_STOPS) {
      const { firstSpringId, secondSpringId, stopId } = practiceFitted(springs.id, stop.id);
      const pick = { firstId: firstSpringId!, secondId: secondSpringId, stopId: stopId! };
      expect(onTheBench(pick)).toEqual({ springsId: springs.id, stopId: stop.id });
    }
  expect(onTheBench({ firstId: 'mine', secondId: 'mine', stopId: 'bush' })).toBeNull();
});

test('of all pairs that could be thought of, the bench’s four sets are left, and a person’s own all stay', () => {
  const both = {
    springs: [...PRACTICE_PARTS.springs, ...MINE.springs],
    stops: [...PRACTICE_PARTS.stops, ...MINE.stops],
  };
  const left = springSets(both, []).filter(springsFit);
  const ofBench = left.filter(({ firstId }) => firstId.startsWith('practice'));
  expect(ofBench).toHaveLength(PRACTICE_SPRINGS.length);
  expect(left.filter(({ firstId }) => !firstId.startsWith('practice'))).toHaveLength(4); // two of each, and both ways
  for (const set of left)
    for (const { id } of both.stops)
      expect(stopFits(set, id)).toBe(set.firstId.startsWith('practice') === id.startsWith('practice'));
});

test('a spring of the bench is never put beside one of a person’s own', () => {
  const light = PRACTICE_PARTS.springs[0]!.id;
  expect(springsFit({ firstId: light, secondId: 'mine' })).toBe(false);
  expect(springsFit({ firstId: 'mine', secondId: light })).toBe(false);
  expect(springsFit({ firstId: light, secondId: null })).toBe(false); // the bench has two of it in
  expect(springsFit({ firstId: 'mine', secondId: null })).toBe(true);
});
