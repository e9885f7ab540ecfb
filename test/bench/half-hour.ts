/** Puts a run that has gone on for half an hour into a page's store, as the page itself would have left it. */
import type { Page } from 'playwright-core';
import { pressPastCautions } from '../helpers/page-acts';

const MINUTES = 30;
/** As the keeper writes them: a record for each tenth of a second. */
const RECORDS_PER_S = 10;
const STRIKES_PER_TURN = 4; // coil lead, four strokes, eight cylinders
const RPM = 3000;

/** Begins a run on a coil lead and fills its trace; the page stands elsewhere afterwards. @returns rows put away */
export async function keepHalfAnHour(page: Page, address: string): Promise<number> {
  await page.goto(`${address}#run`);
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByRole('button', { name: 'End run' }).waitFor();
  await page.goto(`${address}icons/mark-192.png`); // the same origin, and none of the page
  const rowsPerRecord = Math.round((RPM * STRIKES_PER_TURN) / 60 / RECORDS_PER_S);
  const records = MINUTES * 60 * RECORDS_PER_S;
  await page.evaluate(fillStore, { records, rowsPerRecord, recordS: 1 / RECORDS_PER_S, rpm: RPM });
  return records * rowsPerRecord;
}

interface Filling {
  readonly records: number;
  readonly rowsPerRecord: number;
  readonly recordS: number;
  readonly rpm: number;
}

/** Runs in the browser. */
async function fillStore({ records, rowsPerRecord, recordS, rpm }: Filling): Promise<void> {
  const answer = <T>(request: IDBRequest<T>): Promise<T> =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(new Error(request.error?.message));
    });
  const db = await answer(indexedDB.open('clampline'));
  const tx = db.transaction(['jobs', 'runs', 'trace'], 'readwrite');
  const [run] = (await answer(tx.objectStore('runs').getAll())) as { id: string }[];
  const [job] = (await answer(tx.objectStore('jobs').getAll())) as { head: { engine: { pickup: string } } }[];
  job!.head.engine.pickup = 'coil';
  tx.objectStore('jobs').put(job);
  for (let r = 0; r < records; r++) {
    const timeS = Float64Array.from({ length: rowsPerRecord }, (_, i) => (r + i / rowsPerRecord) * recordS);
    const speed = timeS.map((t) => rpm + 600 * Math.sin(t / 20) + 15 * Math.sin(97 * t));
    tx.objectStore('trace').add({ runId: run!.id, timeS, rpm: speed, rpmSd: timeS.map(() => 4) });
  }
  await new Promise((resolve, reject) => {
    tx.oncomplete = resolve;
    tx.onabort = reject;
  });
  db.close();
}
