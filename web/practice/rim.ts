/** The tape on the damper's rim as the light shows it: which marks are in sight and where they stand on the picture.
 * Degrees in, pixels out; the rim bends away at both sides as a cylinder does. */

export interface RimMark {
  readonly deg: number;
  readonly x: number;
  readonly kind: 'degree' | 'five' | 'ten' | 'top';
}

/** @param seenDeg degrees before TDC under the pointer
 *  @param widthPx of the picture @param sightDeg degrees in sight to each side of the pointer, on the rim's own scale
 *  @returns marks in sight, falling in x as degrees rise: the rim turns towards the pointer */
export function rimMarks(seenDeg: number, widthPx: number, sightDeg: number): RimMark[] {
  const first = Math.ceil(seenDeg - sightDeg);
  const last = Math.floor(seenDeg + sightDeg);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => {
    const deg = first + i;
    return { deg, x: rimX(deg, seenDeg, widthPx, sightDeg), kind: kindOf(deg) };
  });
}

/** Where one degree stands: the picture's ends are 60 degrees round the drawn cylinder. */
export function rimX(deg: number, seenDeg: number, widthPx: number, sightDeg: number): number {
  const round = ((deg - seenDeg) / sightDeg) * (Math.PI / 3);
  return widthPx / 2 - ((Math.sin(round) / Math.sin(Math.PI / 3)) * widthPx) / 2;
}

const kindOf = (deg: number): RimMark['kind'] =>
  deg === 0 ? 'top' : deg % 10 === 0 ? 'ten' : deg % 5 === 0 ? 'five' : 'degree';
