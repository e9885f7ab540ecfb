/** The report to paper or to a file: a job and a run in; a saved HTML page, or a page handed to the printer, out. */
import type { Job, Run } from '../../core/job';
import { reportHtml } from '../../core/report/report';
import { REPORT_STYLE } from '../../core/report/report-style';
import { momentText } from '../format';
import { runFileName } from './names';
import { printInFrame } from './print-frame';
import { saveFile } from './save-file';

const HTML = 'text/html';

/** The report of a run, moments in the reader's own time. */
const reportOf = (job: Job, run: Run, hasStyle: boolean): string =>
  reportHtml(job, { runId: run.id, moment: momentText, hasStyle });

/** @returns false where the person thought better of it */
export const saveReport = (job: Job, run: Run): Promise<boolean> =>
  saveFile({
    name: runFileName(job.name, run, 'report.html'),
    description: 'Report',
    mimeType: HTML,
    content: Promise.resolve(new Blob([reportOf(job, run, true)], { type: HTML })),
  });

/** @param host where the printing frame may live */
export const printReport = (job: Job, run: Run, host: HTMLElement): void =>
  printInFrame(reportOf(job, run, false), REPORT_STYLE, 'Report to print', host);
