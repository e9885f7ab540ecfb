/** Tells by ear and by hand what the tape shows by eye: steady at the step, left it, pinned, stored. For someone who
 * looks at the mark. */
import { BuzzSign } from '../audio/buzz-sign';
import { SteadySign, type Sign, type SignGiver } from '../audio/steady-sign';
import type { AppState } from './contracts';

/** To be called while a component is set up; lives as long as it does. Silent between runs and where not wanted. */
export function giveHoldSigns(
  app: AppState,
  ear: SignGiver = new SteadySign(),
  hand: SignGiver = new BuzzSign(),
): void {
  const give = (sign: Sign): void => {
    if (app.preferences.soundSigns) ear.give(sign);
    if (app.preferences.buzzSigns) hand.give(sign);
  };
  const runId = $derived(app.job.run?.id ?? null);
  const steady = $derived(runId !== null && app.job.hold.steady);
  const stepRpm = $derived(app.job.hold.stepRpm);
  const pinnedAt = $derived(app.job.pinned?.at ?? null);
  const stored = $derived(app.job.run?.readings.length ?? 0);
  let before = { runId: null as string | null, steady: false, stepRpm: null as number | null, stored: 0 };
  $effect(() => {
    const isSameRun = runId !== null && runId === before.runId;
    if (isSameRun && stored > before.stored) give('stored');
    else if (steady && !before.steady) give('steady');
    else if (!steady && before.steady && isSameRun && stepRpm === before.stepRpm) give('left');
    before = { runId, steady, stepRpm, stored };
  });
  $effect(() => {
    if (pinnedAt !== null && runId !== null) give('pinned');
  });
}
