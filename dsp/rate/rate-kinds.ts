/** Ways in which an engine runs, from held steady to blipped: how its rate and its strikes wander in each, and how
 * likely it goes over from one to another between two strikes. Figures only. */

/** How restless an engine is, each as a share of the rate or of an interval, for each interval anew. */
export interface Kind {
  /** How restless, from 0: an engine seldom goes far in one strike. */
  readonly level: number;
  /** How usual it is among those of its level. */
  readonly share: number;
  /** Random walk of the rate. */
  readonly walk: number;
  /** Random walk of the rate's change; 0: it has no change of its own. */
  readonly change: number;
  /** Scatter of each strike about its place: sparks come a little early or late. */
  readonly scatter: number;
  /** As it begins each cycle goes so much faster or slower than the rate. */
  readonly uneven: number;
  /** Less restless in shares of the rate where it turns fast: its torque has less time between strikes. */
  readonly fades: boolean;
}

const PLAIN = { walk: 0, change: 0, scatter: 1e-4, uneven: 0, fades: false } as const;
/** The rate goes up or down evenly: what its change wanders is nothing beside what strikes tell of it. */
const EVENLY = 1e-10;
/** Nor does an engine wander so little and yet wander: what moves its speed at all moves it further in a few strikes. */
const SO_LITTLE = 0.1;
/** Sparks seldom scatter so much that an uneven engine would not explain it as well. */
const shareOf = (scatter: number): number => (scatter > 1e-3 ? 0.03 : scatter > 4e-4 ? 0.1 : 1);
const each = (level: number, kind: Partial<Kind>, scatters: readonly number[] = [1e-4]): Kind[] =>
  scatters.map((scatter) => ({ ...PLAIN, share: shareOf(scatter), ...kind, level, scatter }));

const levelOf = (uneven: number): number => (uneven < 2e-3 ? 1 : uneven < 8e-3 ? 2 : uneven < 0.024 ? 3 : 4);
/** Engines whose cycles differ, from hardly at all to a rough idle's, each by the square root of two more than the last, so
 * that none differs by a fifth more or less than one of them. What is common is half a percent and more. */
const LEAST_UNEVEN = 3e-4;
const UNEVEN_KINDS = Array.from({ length: 16 }, (_, i) => LEAST_UNEVEN * 2 ** (i / 2)).flatMap((uneven) =>
  each(levelOf(uneven), {
    uneven,
    walk: 0.1 * uneven,
    share: uneven < 1e-3 ? 0.2 : 0.5,
    fades: uneven > 0.015,
  }),
);
/** The same swept or blipped: evenly but for that, or not; as finely told apart. */
const UNEVENLY_SWEPT = Array.from({ length: 9 }, (_, i) => 1e-3 * 2 ** (i / 2)).flatMap((uneven) =>
  [0.01, 0.1].flatMap((share) => each(levelOf(uneven), { uneven, change: share * uneven, share: 0.2 })),
);

export const KINDS: readonly Kind[] = [
  ...each(0, {}, [2e-5, 4e-5, 7e-5, 1.1e-4, 1.6e-4, 2.4e-4, 3.6e-4, 6e-4, 1.5e-3]), // held
  ...each(1, { change: EVENLY, share: 4 }, [3e-5, 8e-5, 1.6e-4, 2.6e-4, 7e-4]), // swept evenly
  ...each(1, { change: 3e-7, share: SO_LITTLE }, [3e-5, 1e-4, 2.5e-4]),
  ...each(1, { change: 1e-6, share: SO_LITTLE }, [3e-5, 1e-4, 2.5e-4]),
  ...each(1, { change: 3e-6, share: SO_LITTLE }, [3e-5, 1e-4, 2.5e-4, 7e-4]),
  ...each(1, { change: 1e-5 }, [3e-5, 1e-4, 2.5e-4]),
  ...each(1, { change: 3e-5 }, [5e-5, 2e-4, 7e-4]), // swept
  ...each(1, { change: 8e-5 }, [5e-5, 2e-4]),
  ...each(1, { change: 2e-4 }, [5e-5, 2e-4, 7e-4]),
  ...each(1, { walk: 1e-6, share: SO_LITTLE }, [2e-5, 1e-4, 3e-4]),
  ...each(1, { walk: 1e-5, share: SO_LITTLE }, [2e-5, 1e-4, 3e-4]),
  ...each(1, { walk: 6e-5 }),
  ...each(1, { walk: 4e-4 }),
  ...UNEVEN_KINDS, // no cycle is as the next
  ...UNEVENLY_SWEPT,
  ...each(2, { change: 7e-4 }),
  ...each(2, { change: 4e-3 }),
  ...each(2, { walk: 2e-3 }),
  ...each(2, { walk: 5e-3 }),
  ...each(3, { walk: 0.022 }),
  ...each(3, { walk: 0.012 }),
  ...each(3, { walk: 3e-3, change: 0.03 }),
  ...each(3, { walk: 0.025, fades: true }),
  ...each(4, { walk: 0.05, fades: true }), // rough idle
  ...each(4, { walk: 0.01, change: 0.25, fades: true }), // blipped
];
/** At first, all kinds of a level together. An engine whose cycles are all alike is rare: a few intervals that are alike by
 * chance are no sign of one. */
const FIRST = [0.1, 0.12, 0.33, 0.22, 0.23];
/** Chance to be so restless from the next strike on; and to be calmer by so many levels. */
const RISES = [0, 3e-5, 1e-4, 3e-4, 3e-4];
const CALMS = [1e-3, 1e-6, 1e-8, 1e-10, 1e-11];

export const LEVELS = FIRST.length;
const sizes = RISES.map((_, level) =>
  KINDS.reduce((sum, kind) => sum + (kind.level === level ? kind.share : 0), 0),
);
/** Chance to go over to one kind, by its share, by levels from and to; row by row. */
export const MOVES = Float64Array.from({ length: LEVELS * LEVELS }, (_, i) => {
  const [from, to] = [Math.floor(i / LEVELS), i % LEVELS];
  return (to > from ? RISES[to]! : CALMS[from - to]!) / sizes[to]!;
});
/** Chance to stay of the same kind and not to be drawn anew. */
export const STAYS = Float64Array.from({ length: LEVELS }, (_, from) =>
  sizes.reduce((stays, size, to) => stays - size * MOVES[LEVELS * from + to]!, 1),
);
/** Chance of each kind before any strike. */
export const AT_FIRST = Float64Array.from(
  KINDS,
  ({ level, share }) => (share * FIRST[level]!) / sizes[level]!,
);

/** Kinds by how uneven their cycles are: even and calm, then by octaves; -1 where any would do, as of what is so restless
 * that it hides its cycles. */
const OCTAVES = Math.ceil(
  Math.log2(KINDS.reduce((most, { uneven }) => Math.max(most, uneven), 0) / LEAST_UNEVEN),
);
export const UNEVEN_CLASSES = 2 + OCTAVES;
export const UNEVEN_CLASS = Int8Array.from(KINDS, ({ uneven, level }) =>
  uneven > 0 ? 1 + Math.round(Math.log2(uneven / LEAST_UNEVEN)) : level > 1 ? -1 : 0,
);
