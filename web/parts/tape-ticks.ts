/** Which ticks of a tape are in sight. Units in, units out; knows no pixels. */

export interface TapeTick {
  readonly at: number;
  /** Every fifth tick, counted from zero. */
  readonly long: boolean;
}

/** @param centre what stands in the middle @param span units in sight, above 0 @param tick units between ticks, above 0
 *  @throws RangeError for a span or tick of 0 or less, or more than 2000 ticks */
export function tapeTicks(centre: number, span: number, tick: number): TapeTick[] {
  if (!(span > 0) || !(tick > 0) || span / tick > 2000)
    throw new RangeError(
      `a tape wants a span and a tick above 0 and at most 2000 ticks, got ${span} and ${tick}`,
    );
  const first = Math.ceil((centre - span / 2) / tick);
  const last = Math.floor((centre + span / 2) / tick);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => ({
    at: (first + i) * tick,
    long: (first + i) % 5 === 0,
  }));
}
