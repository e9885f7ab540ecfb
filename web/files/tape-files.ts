/** A timing tape to paper: a tape in; an SVG file saved, or its sheets handed to the printer, out. */
import type { LengthUnit } from '../../core/tape/tape-parts';
import { type Paper, printDocument, printStyle, tapeSheets } from '../../core/tape/tape-sheets';
import { tapeSvg } from '../../core/tape/tape-svg';
import type { Tape } from '../../core/tape/tape';
import { safeName } from './names';
import { printInFrame } from './print-frame';
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

/** Prints the sheets of a tape, so that nothing of the page comes with them.
 * @param host where the printing frame may live */
export const printTape = (tape: Tape, paper: Paper, unit: LengthUnit, host: HTMLElement): void => {
  const html = printDocument(tapeSheets(tape, paper, unit), 'Timing tape');
  printInFrame(html, printStyle(paper), 'Timing tape to print', host);
};

/** A drawing as an address that a picture can show; to be revoked when it is shown no more. */
export const svgAddress = (svg: string): string => URL.createObjectURL(new Blob([svg], { type: SVG }));
