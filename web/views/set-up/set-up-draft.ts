/** A set-up as it is being written down: parts chosen from those owned or typed; what is then kept out. */
import type { OwnedParts, SetUp } from '../../../core/job';
import { putSpring, putStop, springsWords } from '../../../core/owned-parts';
import type { JobState } from '../../state/contracts';

/** One place of the distributor: `not said`, the same as the first spring, one of the parts owned, or typed. */
export type PartPick =
  | { readonly by: 'not said' | 'same' }
  | { readonly by: 'owned'; readonly id: string }
  | { readonly by: 'typed'; readonly name: string; readonly keep: boolean };

export interface SetUpDraft {
  readonly name: string;
  readonly first: PartPick;
  readonly second: PartPick;
  readonly stop: PartPick;
  readonly vacuumLine: SetUp['vacuumLine'];
  readonly notes: string;
}

const NOT_SAID: PartPick = { by: 'not said' };

const pickOf = (id: string | null, words: string): PartPick =>
  id !== null ? { by: 'owned', id } : words ? { by: 'typed', name: words, keep: false } : NOT_SAID;

/** @param setUp null: a new one, in which the second spring is taken to be like the first */
export function draftOf(setUp: SetUp | null): SetUpDraft {
  if (!setUp)
    return {
      ...{ name: '', first: NOT_SAID, second: { by: 'same' }, stop: NOT_SAID },
      ...{ vacuumLine: 'plugged', notes: '' },
    };
  const { name, firstSpringId, secondSpringId, stopId, springs, stop, vacuumLine, notes } = setUp;
  const same = secondSpringId !== null && secondSpringId === firstSpringId;
  return {
    ...{ name, vacuumLine, notes },
    first: pickOf(firstSpringId, springs),
    second: same ? { by: 'same' } : pickOf(secondSpringId, ''),
    stop: pickOf(stopId, stop),
  };
}

interface Settled {
  readonly id: string | null;
  readonly words: string;
  readonly parts: OwnedParts;
}
type Kind = 'springs' | 'stops';

/** A typed name that is a part's own is that part, however it is written. */
const sameName = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();

function kept(parts: OwnedParts, kind: Kind, id: string, name: string): OwnedParts {
  if (kind === 'stops') return putStop(parts, { id, name, rangeDeg: null, notes: '' });
  return putSpring(parts, { id, name, hung: null, coil: null, notes: '' });
}

function settle(pick: PartPick, kind: Kind, parts: OwnedParts, newId: () => string): Settled {
  const owned = parts[kind];
  if (pick.by === 'owned')
    return { id: pick.id, words: owned.find(({ id }) => id === pick.id)?.name ?? '', parts };
  if (pick.by !== 'typed' || !pick.name.trim()) return { id: null, words: '', parts };
  const words = pick.name.trim();
  if (!pick.keep) return { id: null, words, parts };
  const known = owned.find(({ name }) => sameName(name, words));
  if (known) return { id: known.id, words: known.name, parts };
  const id = newId();
  return { id, words, parts: kept(parts, kind, id, words) };
}

export interface SettledSetUp {
  readonly setUp: Omit<SetUp, 'id'>;
  /** The parts owned, with those that were typed and are to be kept. */
  readonly parts: OwnedParts;
}

/** What is kept of a draft.
 * @param nameless what a set-up without a name and parts is called */
export function settled(
  draft: SetUpDraft,
  owned: OwnedParts,
  nameless: string,
  newId: () => string,
): SettledSetUp {
  const first = settle(draft.first, 'springs', owned, newId);
  const other = draft.second.by === 'same' ? first : settle(draft.second, 'springs', first.parts, newId);
  const stop = settle(draft.stop, 'stops', other.parts, newId);
  // words typed for the first may tell of both springs, so that only a part is doubled
  const doubled = other === first && first.id === null ? null : other.words || null;
  const springs = first.words ? springsWords(first.words, doubled) : other.words;
  const called = [springs, stop.words].filter(Boolean).join(', ');
  return {
    setUp: {
      name: draft.name.trim() || called || nameless,
      ...{ springs, stop: stop.words },
      firstSpringId: first.id,
      secondSpringId: other.id,
      stopId: stop.id,
      vacuumLine: draft.vacuumLine,
      notes: draft.notes.trim(),
    },
    parts: stop.parts,
  };
}

/** Puts what is kept into the job: the parts first, then the set-up that names them.
 * @param id null: a new one
 * @returns the set-up's id */
export function putSetUp(
  desk: Pick<JobState, 'addSetUp' | 'changeSetUp' | 'change'>,
  id: string | null,
  { setUp, parts }: SettledSetUp,
): string {
  desk.change({ parts });
  if (id === null) return desk.addSetUp(setUp);
  desk.changeSetUp(id, setUp);
  return id;
}
