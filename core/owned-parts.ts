/** The springs and stops that a person owns: which of them are fitted where, in words; kept, changed and given away.
 * Plain data in and out. */
import type { Job, OwnedParts, SetUp, Spring, Stop } from './job';

/** What a set-up says of parts. */
export type Fitted = Pick<SetUp, 'springs' | 'stop' | 'firstSpringId' | 'secondSpringId' | 'stopId'>;

/** @returns the parts with those that were not among them, told apart by id */
export const withParts = (owned: OwnedParts, more: OwnedParts): OwnedParts => ({
  springs: [
    ...owned.springs,
    ...more.springs.filter(({ id }) => !owned.springs.some((one) => one.id === id)),
  ],
  stops: [...owned.stops, ...more.stops.filter(({ id }) => !owned.stops.some((one) => one.id === id))],
});

const put = <Part extends { readonly id: string }>(parts: readonly Part[], part: Part): readonly Part[] =>
  parts.some(({ id }) => id === part.id)
    ? parts.map((one) => (one.id === part.id ? part : one))
    : [...parts, part];

/** @returns the parts with this one in its place, or at the end */
export const putSpring = (owned: OwnedParts, spring: Spring): OwnedParts => ({
  ...owned,
  springs: put(owned.springs, spring),
});
/** As `putSpring`. */
export const putStop = (owned: OwnedParts, stop: Stop): OwnedParts => ({
  ...owned,
  stops: put(owned.stops, stop),
});

/** Springs in words: "Light × 2" for two of a kind, "Light with Heavy" for two of two kinds.
 * @param second null: not said */
export function springsWords(first: string, second: string | null): string {
  if (second === null) return first;
  return second === first ? `${first} × 2` : `${first} with ${second}`;
}

const has = ({ firstSpringId, secondSpringId, stopId }: Fitted, partId: string): boolean =>
  [firstSpringId, secondSpringId, stopId].includes(partId);

/** Where a part was fitted. */
export interface PartUse {
  readonly setUps: readonly SetUp[];
  /** How many runs were made with those. */
  readonly runs: number;
}

export function useOf({ setUps, runs }: Pick<Job, 'setUps' | 'runs'>, partId: string): PartUse {
  const fitted = setUps.filter((setUp) => has(setUp, partId));
  return { setUps: fitted, runs: runs.filter((run) => fitted.some(({ id }) => id === run.setUpId)).length };
}

/** What a set-up says of its parts once one of them is owned no more: its words stay.
 * @returns null where it names none of it */
export function without(setUp: SetUp, partId: string): Partial<Fitted> | null {
  if (!has(setUp, partId)) return null;
  const kept = (id: string | null): string | null => (id === partId ? null : id);
  const { firstSpringId, secondSpringId, stopId } = setUp;
  return {
    firstSpringId: kept(firstSpringId),
    secondSpringId: kept(secondSpringId),
    stopId: kept(stopId),
  };
}
