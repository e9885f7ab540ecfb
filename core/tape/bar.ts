/** The bar on a print, measured: its true and its measured length in; whether the print may be used, in a sentence, out. */

export interface BarVerdict {
  readonly isTrue: boolean;
  readonly text: string;
}

/** A ruler is read to about a quarter of a millimetre.
 * @source Common practice */
const RULER_MM = 0.3;

/** @param trueMm, measuredMm over 0
 * @throws RangeError if one is not */
export function barVerdict(trueMm: number, measuredMm: number): BarVerdict {
  if (!(trueMm > 0 && measuredMm > 0))
    throw new RangeError(`wanted lengths over 0 mm, got ${trueMm} and ${measuredMm}`);
  if (Math.abs(measuredMm - trueMm) <= RULER_MM)
    return { isTrue: true, text: 'The print is at true scale: it can be cut out.' };
  const share = measuredMm / trueMm;
  return {
    isTrue: false,
    text:
      `The print is at ${(100 * share).toFixed(1)} % of true scale: where the tape says 30°, the crank stands at ` +
      `${(30 * share).toFixed(1)}°. Throw it away, set the printer’s scale to 100 % with nothing fitted to the page, and print again.`,
  };
}
