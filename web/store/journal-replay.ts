/** Changes that were written ahead, put into the store where it does not have them yet: each whole or not at all, none
 * over a later one. */
import type { Database, JobRecord } from './database';
import { writeOps } from './job-store';
import type { JournalEntry } from './journal-api';

/** @throws what the store refused */
export async function putBack(db: Database, entries: readonly JournalEntry[]): Promise<void> {
  const dated = entries.flatMap((entry) => {
    const job = jobOfEntry(entry);
    return job ? [{ entry, job }] : [];
  });
  dated.sort((a, b) => a.job.order - b.job.order);
  for (const { entry, job } of dated) {
    const stored = await db.get('jobs', job.id);
    const isWanted = stored ? stored.order < job.order : entry.isNewJob; // one taken out does not come back
    if (isWanted) await writeOps(db, entry.ops);
  }
}

/** Every change carries the record of its job, whose order goes up with each. */
export function jobOfEntry({ ops }: JournalEntry): JobRecord | null {
  for (const op of ops) if ('put' in op && op.put === 'jobs') return op.value;
  return null;
}
