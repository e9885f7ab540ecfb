/** Ticks on a drawn rim: centre, radius and angles in, lines out. Angles in degrees from the top, clockwise. */

export interface RimTick {
  readonly deg: number;
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
}

const LONG_PX = 14;
const SHORT_PX = 8;

/** A tick every so many degrees; the one at the top and every third from it are long. */
export function rimTicks(
  { x, y }: { readonly x: number; readonly y: number },
  radius: number,
  fromDeg: number,
  toDeg: number,
  everyDeg: number,
): RimTick[] {
  const count = Math.floor((toDeg - fromDeg) / everyDeg) + 1;
  return Array.from({ length: count }, (_, i) => {
    const deg = fromDeg + i * everyDeg;
    const [sin, cos] = [Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)];
    const inner = radius - (deg % (3 * everyDeg) === 0 ? LONG_PX : SHORT_PX);
    return { deg, x1: x + radius * sin, y1: y - radius * cos, x2: x + inner * sin, y2: y - inner * cos };
  });
}
