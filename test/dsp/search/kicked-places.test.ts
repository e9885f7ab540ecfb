/** Strikes told from kicks: made here of places and scatter that are put in by hand. */
import { expect, test } from 'vitest';
import { createRandom } from '../../../dsp/maker/random';
import { areKept, kickedPlaces } from '../../../dsp/search/kicked-places';
import type { Slot } from '../../../dsp/search/slots';

const CYCLE_S = 25e-3;
const ROUNDS = 5;
const random = createRandom(11);

/** A place of the round. @param atS since the round began @param sdS by which its impulses scatter */
function place(atS: number, height: number, sdS: number): Slot {
  const phases = Array.from({ length: ROUNDS }, () => (atS + sdS * random.normal()) / CYCLE_S);
  return {
    phase: phases.reduce((sum, phase) => sum + phase, 0) / ROUNDS,
    height,
    places: phases.map((_, k) => k),
    rounds: phases.map((_, k) => k),
    phases,
    others: 0,
  };
}
const strikesAt = (timesS: readonly number[]): Slot[] => timesS.map((atS) => place(atS, 1, 5e-6));
const kicksOf = (strikes: readonly Slot[], afterS: number, height: number, share = 0.1): Slot[] =>
  strikes.map(({ phase }) => place(phase * CYCLE_S + afterS, height, share * afterS));
const inOrder = (slots: readonly Slot[]): Slot[] => [...slots].sort((a, b) => a.phase - b.phase);

test.each([0.5, 0.8, 0.94])(
  'kicks of %f come out of the way of even strikes, halfway between them',
  (height) => {
    const strikes = strikesAt([0, 5e-3, 10e-3, 15e-3, 20e-3]);
    const all = inOrder([...strikes, ...kicksOf(strikes, 2.5e-3, height)]);
    expect(kickedPlaces(all, CYCLE_S)?.own).toEqual(strikes);
  },
);

test('and of uneven ones, where the last one of a round kicks in the next', () => {
  const strikes = strikesAt([0, 4e-3, 10e-3, 14e-3, 20e-3, 24e-3]);
  const kicks = kicksOf(strikes, 1.8e-3, 0.8).map((kick) =>
    kick.phase < 1 ? kick : { ...kick, phase: kick.phase - 1, phases: kick.phases.map((phase) => phase - 1) },
  );
  expect(kickedPlaces(inOrder([...strikes, ...kicks]), CYCLE_S)?.own).toEqual(strikes);
});

test('strikes that follow others as soon as kicks do keep their places: they do not scatter', () => {
  const strikes = strikesAt([0, 2e-3, 8e-3, 10e-3, 16e-3, 18e-3]);
  const low = strikes.map((strike, s) => (s % 2 ? { ...strike, height: 0.8 } : strike));
  expect(kickedPlaces(low, CYCLE_S)).toBeNull();
});

test('what is taller than what it follows is no kick, whatever it scatters', () => {
  const strikes = strikesAt([0, 5e-3, 10e-3, 15e-3, 20e-3]);
  const all = inOrder([...strikes, ...kicksOf(strikes, 1.2e-3, 1.4)]);
  expect(kickedPlaces(all, CYCLE_S)).toBeNull();
});

test('places that strikes keep are told from those that kicks fill', () => {
  const strikes = strikesAt([0, 5e-3, 10e-3, 15e-3, 20e-3]);
  expect(areKept(strikes, CYCLE_S)).toBe(true);
  expect(areKept(kicksOf(strikes, 1.8e-3, 0.9), CYCLE_S)).toBe(false);
});
