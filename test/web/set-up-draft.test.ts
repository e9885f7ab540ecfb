/** What a set-up form keeps of what was chosen and typed. Expected values are worked out by hand. */
import { expect, test } from 'vitest';
import type { OwnedParts, SetUp } from '../../core/job';
import { draftOf, settled, type PartPick, type SetUpDraft } from '../../web/views/set-up/set-up-draft';

const OWNED: OwnedParts = {
  springs: [
    { id: 'thin', name: 'Thin', hung: null, coil: null, notes: '' },
    { id: 'thick', name: 'Thick', hung: null, coil: null, notes: '' },
  ],
  stops: [{ id: 'bush', name: 'Bush', rangeDeg: 20, notes: '' }],
};
const owned = (id: string): PartPick => ({ by: 'owned', id });
const typed = (name: string, keep: boolean): PartPick => ({ by: 'typed', name, keep });
const ids = (): (() => string) => {
  let made = 0;
  return () => `new-${(made += 1)}`;
};
const put = (patch: Partial<SetUpDraft>) => settled({ ...draftOf(null), ...patch }, OWNED, 'Set-up 3', ids());

test('two springs of one kind and a stop are kept by their ids, and the set-up is called by them', () => {
  const { setUp, parts } = put({ first: owned('thin'), stop: owned('bush') });
  expect(setUp).toMatchObject({ firstSpringId: 'thin', secondSpringId: 'thin', stopId: 'bush' });
  expect([setUp.springs, setUp.stop, setUp.name]).toEqual(['Thin × 2', 'Bush', 'Thin × 2, Bush']);
  expect(parts).toEqual(OWNED);
});

test('springs of two kinds and one whose neighbour is not said are told apart', () => {
  expect(put({ first: owned('thin'), second: owned('thick') }).setUp.springs).toBe('Thin with Thick');
  const alone = put({ first: owned('thin'), second: { by: 'not said' } }).setUp;
  expect([alone.springs, alone.secondSpringId]).toEqual(['Thin', null]);
});

test('what is typed stays words alone unless it is to be kept', () => {
  const { setUp, parts } = put({
    first: typed(' one light, one medium ', false),
    stop: typed('11° bush', false),
  });
  expect(setUp).toMatchObject({ springs: 'one light, one medium', stop: '11° bush' });
  expect([setUp.firstSpringId, setUp.secondSpringId, setUp.stopId]).toEqual([null, null, null]);
  expect(parts).toEqual(OWNED);
});

test('a typed name that is to be kept becomes a part; one that is a part already is that part', () => {
  const { setUp, parts } = put({
    first: typed('Middle', true),
    second: typed('thick', true),
    stop: typed('Long', true),
  });
  expect(setUp).toMatchObject({ firstSpringId: 'new-1', secondSpringId: 'thick', stopId: 'new-2' });
  expect(setUp.springs).toBe('Middle with Thick');
  expect(parts.springs.map(({ name }) => name)).toEqual(['Thin', 'Thick', 'Middle']);
  expect(parts.stops.at(-1)).toEqual({ id: 'new-2', name: 'Long', rangeDeg: null, notes: '' });
});

test('the same new name in both places is one part', () => {
  const { setUp, parts } = put({ first: typed('Middle', true), second: typed('middle ', true) });
  expect([setUp.firstSpringId, setUp.secondSpringId, parts.springs.length]).toEqual(['new-1', 'new-1', 3]);
});

test('a set-up without a word is called by its number', () => {
  expect(put({}).setUp).toMatchObject({ name: 'Set-up 3', springs: '', stop: '', firstSpringId: null });
});

test('a set-up that was kept comes back as it was, chosen or typed', () => {
  const base = { id: 's', name: 'Mine', vacuumLine: 'none', notes: 'warm' } as const;
  const setUps: SetUp[] = [
    {
      ...base,
      springs: 'Thin × 2',
      stop: 'Bush',
      firstSpringId: 'thin',
      secondSpringId: 'thin',
      stopId: 'bush',
    },
    {
      ...base,
      springs: 'Thin with Thick',
      stop: '',
      firstSpringId: 'thin',
      secondSpringId: 'thick',
      stopId: null,
    },
    { ...base, springs: 'Thin', stop: '', firstSpringId: 'thin', secondSpringId: null, stopId: null },
    {
      ...base,
      springs: 'two of a kind',
      stop: 'short',
      firstSpringId: null,
      secondSpringId: null,
      stopId: null,
    },
  ];
  for (const setUp of setUps) {
    const { id, ...rest } = setUp;
    expect(settled(draftOf(setUp), OWNED, id, ids())).toEqual({ setUp: rest, parts: OWNED });
  }
});
