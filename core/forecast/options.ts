/** What the person can fit: the job's springs and stops and the runs that were fitted in; every set of springs and every
 * stop with how it is known, or why it cannot be forecast, out. */
import type { OwnedParts, Spring } from '../job';
import { springRate, type SpringRate } from '../mechanism/spring-rate';
import type { SpringChoice, StopChoice } from './drawn';
import { partKeys } from './job-runs';
import type { RunParts } from './parameters';

/** By a run with just these; by a measured or calculated rate beside a spring that was run; by a run with two of a
 * kind where one of it is wanted, or the other way; by the degrees that stand on a stop. */
export type Known = 'run' | 'rate' | 'share' | 'range';

export interface SpringSet {
  readonly firstId: string;
  /** The same as the first for two of a kind; null: no other was named in the run. */
  readonly secondId: string | null;
  readonly name: string;
  readonly known: Known | null;
  readonly choice: { readonly firstSpring: SpringChoice; readonly secondSpring: SpringChoice } | null;
  /** How it is known, or what would make it known. */
  readonly text: string;
}

export interface StopOption {
  readonly id: string;
  readonly name: string;
  readonly known: Known | null;
  readonly choice: StopChoice | null;
  readonly text: string;
}

/** How far a spring's force at rest may be off where only its rate is known: its free length is not. */
const REST_SD = 0.12;
/** One of a kind pulls half of what two do, give or take its post. */
const SHARE_SD = 0.1;

const asRun = (like: string): SpringChoice => ({ like, factor: 1, factorSd: 0, restSd: 0 });

type Known_ = Omit<SpringSet, 'firstId' | 'secondId' | 'name'>;
const unknown = (text: string): Known_ => ({ known: null, choice: null, text });

/** @param runs those that were fitted together */
export function springSets({ springs }: OwnedParts, runs: readonly RunParts[]): SpringSet[] {
  const pairs = springs.map((spring): SpringSet => ({
    firstId: spring.id,
    secondId: spring.id,
    name: spring.name,
    ...pairKnown(spring, springs, runs),
  }));
  const mixed = springs.flatMap((first) =>
    springs
      .filter((second) => second.id !== first.id)
      .map((second): SpringSet => ({
        firstId: first.id,
        secondId: second.id,
        name: `${first.name} with ${second.name}`,
        ...mixedKnown(first, second, springs, runs),
      })),
  );
  const alone = springs
    .filter(({ id }) => usedFirst(runs, partKeys.first(id), partKeys.late(partKeys.first(id))))
    .map((spring): SpringSet => {
      const key = partKeys.first(spring.id);
      const choice = { firstSpring: asRun(key), secondSpring: asRun(partKeys.late(key)) };
      const text = 'Known from a run in which no other spring was named.';
      return { firstId: spring.id, secondId: null, name: spring.name, known: 'run', choice, text };
    });
  return [...pairs, ...alone, ...mixed];
}

const usedFirst = (runs: readonly RunParts[], first: string, second?: string): boolean =>
  runs.some((run) => run.firstSpring === first && (second === undefined || run.secondSpring === second));

function pairKnown(spring: Spring, springs: readonly Spring[], runs: readonly RunParts[]): Known_ {
  const key = partKeys.set(spring.id);
  if (usedFirst(runs, key)) {
    const choice = { firstSpring: asRun(key), secondSpring: asRun(partKeys.late(key)) };
    return { known: 'run', choice, text: 'Known from a run with it.' };
  }
  const reference = springs.find((other) => usedFirst(runs, partKeys.set(other.id)) && springRate(other));
  const rate = springRate(spring);
  if (reference && rate) return byRate(rate, reference, partKeys.set(reference.id));
  return unknown(whatIsWanted(spring, rate !== null, springs, runs));
}

function byRate(rate: SpringRate, reference: Spring, key: string): Known_ {
  const other = springRate(reference)!;
  const factor = rate.rateNPerMm / other.rateNPerMm;
  const scaled = { factor, factorSd: Math.hypot(rate.share, other.share), restSd: REST_SD };
  const choice = {
    firstSpring: { like: key, ...scaled },
    secondSpring: { like: partKeys.late(key), ...scaled },
  };
  const text =
    `Its rate of ${rate.rateNPerMm.toFixed(2)} N/mm (${rate.by}) is ${factor.toFixed(2)} times that of ` +
    `${reference.name}, which was run; its force at rest is taken to go with it.`;
  return { known: 'rate', choice, text };
}

function whatIsWanted(
  spring: Spring,
  hasRate: boolean,
  springs: readonly Spring[],
  runs: readonly RunParts[],
): string {
  const run = springs.find(
    ({ id }) => usedFirst(runs, partKeys.set(id)) || usedFirst(runs, partKeys.first(id)),
  );
  if (!run) return 'No run names the springs fitted: name them in a set-up, then take readings.';
  if (!hasRate) return `Not known: run it once, or hang a known mass on it and on ${run.name}.`;
  return `Its rate is known, but not that of a spring that was run: hang the same mass on ${run.name}.`;
}

function mixedKnown(
  first: Spring,
  second: Spring,
  springs: readonly Spring[],
  runs: readonly RunParts[],
): Known_ {
  const secondChoice = secondOf(second, springs, runs);
  if (secondChoice === null)
    return unknown(`The slack of ${second.name} is not known: run it once as the second spring.`);
  const [own, set] = [partKeys.first(first.id), partKeys.set(first.id)];
  if (usedFirst(runs, own)) {
    const together = usedFirst(runs, own, partKeys.second(second.id));
    const text = together
      ? 'Known from a run with both.'
      : `Known from runs: ${first.name} as the first spring, the second from another run.`;
    const known = secondChoice.factor === 1 ? 'run' : 'rate';
    return { known, choice: { firstSpring: asRun(own), secondSpring: secondChoice }, text };
  }
  if (!usedFirst(runs, set)) return unknown(`${first.name} is not known as the first spring: run it once.`);
  const half = { like: set, factor: 0.5, factorSd: SHARE_SD, restSd: SHARE_SD };
  const text = `One of ${first.name} is taken to pull half of what two did in a run.`;
  return { known: 'share', choice: { firstSpring: half, secondSpring: secondChoice }, text };
}

function secondOf(
  second: Spring,
  springs: readonly Spring[],
  runs: readonly RunParts[],
): SpringChoice | null {
  const used = (id: string): boolean => runs.some((run) => run.secondSpring === partKeys.second(id));
  if (used(second.id)) return asRun(partKeys.second(second.id));
  const rate = springRate(second);
  const reference = springs.find((other) => used(other.id) && springRate(other));
  if (!rate || !reference) return null;
  const other = springRate(reference)!;
  const factorSd = Math.hypot(rate.share, other.share, REST_SD);
  return {
    like: partKeys.second(reference.id),
    factor: rate.rateNPerMm / other.rateNPerMm,
    factorSd,
    restSd: 0,
  };
}

/** @param runs those that were fitted together */
export function stopOptions({ stops }: OwnedParts, runs: readonly RunParts[]): StopOption[] {
  return stops.map(({ id, name, rangeDeg }) => {
    const key = partKeys.stop(id);
    if (runs.some((run) => run.stop === key))
      return { id, name, known: 'run', choice: { like: key }, text: 'Known from a run with it.' };
    if (rangeDeg !== null)
      return {
        id,
        name,
        known: 'range',
        choice: { rangeDeg },
        text: `Its range of ${rangeDeg.toFixed(1)} degrees is as keyed in.`,
      };
    return {
      id,
      name,
      known: null,
      choice: null,
      text: 'Not known: key in the degrees it leaves, or run it once.',
    };
  });
}
