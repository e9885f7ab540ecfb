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
  /** Each cycle goes so much faster or slower than the rate. */
  readonly uneven: number;
  /** Less restless in shares of the rate where it turns fast: its torque has less time between strikes. */
  readonly fades: boolean;
}

const PLAIN = { walk: 0, change: 0, scatter: 1e-4, uneven: 0, fades: false } as const;
/** Sparks seldom scatter so much that an uneven engine would not explain it as well. */
const shareOf = (scatter: number): number => (scatter > 1e-3 ? 0.03 : scatter > 4e-4 ? 0.1 : 1);
const each = (level: number, kind: Partial<Kind>, scatters: readonly number[] = [1e-4]): Kind[] =>
  scatters.map((scatter) => ({ ...PLAIN, share: shareOf(scatter), ...kind, level, scatter }));

export const KINDS: readonly Kind[] = [
  ...each(0, {}, [2e-5, 6e-5, 1.2e-4, 2.4e-4, 6e-4, 1.5e-3]), // held
  ...each(1, { change: 3e-7 }, [2e-5, 8e-5, 2e-4, 7e-4]),
  ...each(1, { change: 3e-6 }, [2e-5, 8e-5, 2e-4, 7e-4]),
  ...each(1, { change: 3e-5 }, [5e-5, 2e-4, 7e-4]), // swept
  ...each(1, { change: 1.5e-4 }, [5e-5, 2e-4, 7e-4]),
  ...each(1, { walk: 1e-6 }, [2e-5, 1e-4, 3e-4]),
  ...each(1, { walk: 1e-5 }, [2e-5, 1e-4, 3e-4]),
  ...each(1, { walk: 6e-5 }),
  ...each(1, { walk: 4e-4 }),
  ...each(1, { uneven: 2e-4, walk: 2e-5 }), // no cycle is as the next
  ...each(1, { uneven: 6e-4, walk: 6e-5 }),
  ...each(1, { uneven: 1.5e-3, walk: 1.5e-4 }),
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
/** At first, all kinds of a level together. */
const FIRST = [0.5, 0.3, 0.1, 0.05, 0.05];
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
