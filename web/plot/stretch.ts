/** A stretch of a plot's axis, looked at closer or wider within the whole. Plain numbers in the axis' own unit. */

export type Stretch = readonly [low: number, high: number];

export const widthOf = ([low, high]: Stretch): number => high - low;

/** The part of `stretch` that lies in the whole, moved rather than cut; null where it is all of it.
 * @param least the narrowest that makes sense, above 0 */
export function within(whole: Stretch, stretch: Stretch, least: number): Stretch | null {
  const width = Math.max(least, widthOf(stretch));
  if (width >= widthOf(whole)) return null;
  const middle = (stretch[0] + stretch[1]) / 2;
  const low = Math.min(Math.max(middle - width / 2, whole[0]), whole[1] - width);
  return [low, low + width];
}

/** What is shown after a step closer (`factor` below 1) or wider (above 1): the point looked at keeps its place.
 * @param shown null: all of it
 * @param about the point looked at; null: the middle
 * @returns null for all of it */
export function scaled(
  {
    whole,
    shown,
    about,
    least,
  }: { whole: Stretch; shown: Stretch | null; about: number | null; least: number },
  factor: number,
): Stretch | null {
  const now = shown ?? whole;
  const isInside = about !== null && about >= now[0] && about <= now[1];
  const point = isInside ? about : (now[0] + now[1]) / 2;
  const scale = Math.max(factor, least / widthOf(now));
  return within(whole, [point + (now[0] - point) * scale, point + (now[1] - point) * scale], least);
}
