/** Tells by ear what the tape shows by eye: steady at the step, left it, pinned. For someone who looks at the mark. */
import { SteadySign } from '../audio/steady-sign';
import type { AppState } from './contracts';

/** To be called while a component is set up; lives as long as it does. Silent between runs and where not wanted. */
export function giveHoldSigns(app: AppState, sign: Pick<SteadySign, 'give'> = new SteadySign()): void {
  const wanted = $derived(app.preferences.soundSigns && app.job.run !== null);
  const steady = $derived(wanted && app.job.hold.steady);
  const stepRpm = $derived(app.job.hold.stepRpm);
  const pinnedAt = $derived(app.job.pinned?.at ?? null);
  let before = { steady: false, stepRpm: null as number | null };
  $effect(() => {
    if (steady && !before.steady) sign.give('steady');
    if (!steady && before.steady && wanted && stepRpm === before.stepRpm) sign.give('left');
    before = { steady, stepRpm };
  });
  $effect(() => {
    if (pinnedAt !== null && wanted) sign.give('pinned');
  });
}
