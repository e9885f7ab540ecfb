/** The practice engine's bench as parts that a person owns, what is fitted there as a set-up's words, and which of a
 * person's parts can be fitted together: those of the bench as they lie there, and never beside others. */
import type { OwnedParts, SetUp, Spring } from '../job';
import type { Fitted } from '../owned-parts';
import { PRACTICE_SPRINGS, PRACTICE_STOPS } from './practice-distributor';

/** Stretch of each spring under 1 kg, read to 0.1 mm: their rates stand to each other as the bench's springs do, for
 * weights on which 0.01925 N·m for each degree is one spring of 0.70 N/mm; 9.81 N / 0.70 N/mm = 14.0 mm. */
const HUNG_MM: Readonly<Record<string, number>> = { light: 14, middle: 8.2, heavy: 4.9 };
const NAMES: Readonly<Record<string, string>> = {
  light: 'Practice light',
  middle: 'Practice middle',
  heavy: 'Practice heavy',
};

const pairId = (id: string): string => `practice-spring-${id}`;
const MIXED = { first: 'practice-spring-mixed-light', second: 'practice-spring-mixed-heavy' } as const;
const stopId = (id: string): string => `practice-stop-${id}`;

const pairSpring = (id: string): Spring => ({
  id: pairId(id),
  name: NAMES[id]!,
  hung: { massG: 1000, stretchMm: HUNG_MM[id]! },
  coil: null,
  notes: 'On the practice engine’s bench, two of a kind.',
});

const mixedSpring = (which: 'first' | 'second', name: string): Spring => ({
  id: MIXED[which],
  name,
  hung: null,
  coil: null,
  notes: 'On the practice engine’s bench, one of it.',
});

export const PRACTICE_PARTS: OwnedParts = {
  springs: [
    ...Object.keys(NAMES).map(pairSpring),
    mixedSpring('first', 'Practice mixed, the light one'),
    mixedSpring('second', 'Practice mixed, the heavy one with slack'),
  ],
  stops: PRACTICE_STOPS.map(({ id, label, rangeDeg }) => ({
    id: stopId(id),
    name: `Practice ${label.toLowerCase()}`,
    rangeDeg,
    notes: 'On the practice engine’s bench.',
  })),
};

const labelOf = (choices: readonly { readonly id: string; readonly label: string }[], id: string): string =>
  choices.find((choice) => choice.id === id)?.label ?? id;

/** What is fitted to the practice engine, by the parts of `PRACTICE_PARTS`. */
export function practiceFitted(springsId: string, stop: string): Fitted & Pick<SetUp, 'name'> {
  const pair = springsId in NAMES;
  const [springs, stopLabel] = [labelOf(PRACTICE_SPRINGS, springsId), labelOf(PRACTICE_STOPS, stop)];
  return {
    name: `${springs}, ${stopLabel.toLowerCase()}`,
    springs,
    stop: stopLabel,
    firstSpringId: pair ? pairId(springsId) : MIXED.first,
    secondSpringId: pair ? pairId(springsId) : MIXED.second,
    stopId: stopId(stop),
  };
}

/** The parts of a combination, by their ids. */
export interface PartIds {
  readonly firstId: string;
  /** null: no other spring is named. */
  readonly secondId: string | null;
  readonly stopId: string;
}

/** What to choose on the practice engine's bench to have a combination there.
 * @returns null where the bench does not have it */
export function onTheBench({ firstId, secondId, stopId: stop }: PartIds): {
  readonly springsId: string;
  readonly stopId: string;
} | null {
  const springs = PRACTICE_SPRINGS.find(({ id }) => {
    const { firstSpringId, secondSpringId } = practiceFitted(id, stop);
    return firstSpringId === firstId && secondSpringId === secondId;
  });
  const chosen = PRACTICE_STOPS.find(({ id }) => stopId(id) === stop);
  return springs && chosen ? { springsId: springs.id, stopId: chosen.id } : null;
}

const isBenchSpring = (id: string | null): boolean => PRACTICE_PARTS.springs.some((one) => one.id === id);
const isBenchStop = (id: string): boolean => PRACTICE_PARTS.stops.some((one) => one.id === id);

/** Whether springs can be fitted together: the bench has its own sets only, and lends none of them to a real engine. */
export function springsFit({ firstId, secondId }: Pick<PartIds, 'firstId' | 'secondId'>): boolean {
  if (!isBenchSpring(firstId) && !isBenchSpring(secondId)) return true;
  return onTheBench({ firstId, secondId, stopId: PRACTICE_PARTS.stops[0]!.id }) !== null;
}

/** Whether a stop can be fitted with springs that fit: both are the bench's, or neither is. */
export const stopFits = ({ firstId }: Pick<PartIds, 'firstId'>, stop: string): boolean =>
  isBenchSpring(firstId) === isBenchStop(stop);
