/** The report to paper or to a file: a job and a run in; a saved HTML page, or a page handed to the printer, out. */
import type { Job, Run } from '../../core/job';
import { reportHtml } from '../../core/report/report';
import { REPORT_STYLE } from '../../core/report/report-style';
import { momentText } from '../format';
import { runFileName } from './names';
import { saveFile } from './save-file';

const HTML = 'text/html';

/** The report of a run, moments in the reader's own time. */
export const reportOf = (job: Job, run: Run): string =>
  reportHtml(job, { runId: run.id, moment: momentText });

/** @returns false where the person thought better of it */
export const saveReport = (job: Job, run: Run): Promise<boolean> =>
  saveFile({
    name: runFileName(job.name, run, 'report.html'),
    description: 'Report',
    mimeType: HTML,
    content: Promise.resolve(new Blob([reportOf(job, run)], { type: HTML })),
  });

/** Prints the report from a frame that nobody sees. Its style is put in by hand: the page's security policy lets no
 * style that is written into a document count.
 * @param host where the frame may live */
export function printReport(job: Job, run: Run, host: HTMLElement): void {
  const frame = document.createElement('iframe');
  frame.title = 'Report to print';
  frame.style.cssText = 'position:fixed;inset:auto 100% 100% auto;width:1px;height:1px;border:0';
  frame.onload = () => {
    const page = frame.contentWindow as (Window & typeof globalThis) | null;
    if (!page) return;
    const sheet = new page.CSSStyleSheet();
    sheet.replaceSync(REPORT_STYLE);
    page.document.adoptedStyleSheets = [sheet];
    page.addEventListener('afterprint', () => frame.remove());
    page.print();
  };
  frame.srcdoc = reportOf(job, run);
  host.append(frame);
}
