/** A timing tape to paper: a tape in; an SVG file saved, or its sheets handed to the printer, out. */
import type { LengthUnit } from '../../core/tape/tape-parts';
import { type Paper, printDocument, tapeSheets } from '../../core/tape/tape-sheets';
import { tapeSvg } from '../../core/tape/tape-svg';
import type { Tape } from '../../core/tape/tape';
import { safeName } from './names';
import { saveFile } from './save-file';

const SVG = 'image/svg+xml';

/** @returns false where the person thought better of it */
export const saveTape = (tape: Tape, unit: LengthUnit, jobName: string): Promise<boolean> =>
  saveFile({
    name: `clampline-${safeName(jobName)}-tape.svg`,
    description: 'Timing tape',
    mimeType: SVG,
    content: Promise.resolve(new Blob([tapeSvg(tape, unit)], { type: SVG })),
  });

/** The document that is printed: each sheet on a page of its own, nothing scaled. */
export const tapeDocument = (tape: Tape, paper: Paper, unit: LengthUnit): string =>
  printDocument(tapeSheets(tape, paper, unit), paper, 'Timing tape');

/** Prints the sheets from a frame that nobody sees, so that nothing of the page comes with them.
 * @param host where the frame may live */
export function printTape(html: string, host: HTMLElement): void {
  const frame = document.createElement('iframe');
  frame.title = 'Timing tape to print';
  frame.style.cssText = 'position:fixed;inset:auto 100% 100% auto;width:1px;height:1px;border:0';
  frame.onload = () => {
    frame.contentWindow?.addEventListener('afterprint', () => frame.remove());
    frame.contentWindow?.print();
  };
  frame.srcdoc = html;
  host.append(frame);
}

/** A drawing as an address that a picture can show. */
export const svgAddress = (svg: string): string => `data:${SVG},${encodeURIComponent(svg)}`;
