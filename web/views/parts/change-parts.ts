/** A part given away: it goes from the parts owned and from the set-ups that named it; their words stay. */
import type { Job } from '../../../core/job';
import { without } from '../../../core/owned-parts';
import type { JobState } from '../../state/contracts';

export function removePart(desk: Pick<JobState, 'change' | 'changeSetUp'>, job: Job, partId: string): void {
  for (const setUp of job.setUps) {
    const patch = without(setUp, partId);
    if (patch) desk.changeSetUp(setUp.id, patch);
  }
  const { springs, stops } = job.parts;
  const others = <Part extends { readonly id: string }>(parts: readonly Part[]): readonly Part[] =>
    parts.filter(({ id }) => id !== partId);
  desk.change({ parts: { springs: others(springs), stops: others(stops) } });
}
