/** Measures a drawing of a tape as a ruler would: SVG text in; millimetres on paper out, through its width, height and
 * view box alone. */

const attribute = (tag: string, name: string): string => new RegExp(` ${name}="([^"]*)"`).exec(tag)![1]!;

/** The drawing's size on paper and how many millimetres one of its units is. */
export function paperSize(svg: string): { widthMm: number; heightMm: number; mmPerUnit: number } {
  const root = /<svg[^>]*>/.exec(svg)![0];
  const [widthMm, heightMm] = ['width', 'height'].map((name) => {
    const [, value, unit] = /^([\d.]+)(mm|in)$/.exec(attribute(root, name))!;
    return Number(value) * (unit === 'in' ? 25.4 : 1);
  }) as [number, number];
  const [, , unitsWide, unitsHigh] = attribute(root, 'viewBox').split(' ').map(Number);
  if (Math.abs(widthMm / unitsWide! - heightMm / unitsHigh!) > 1e-9)
    throw new Error('one scale for width and height was wanted');
  return { widthMm, heightMm, mmPerUnit: widthMm / unitsWide! };
}

const linesOf = (svg: string, kind: string): string[] =>
  [...svg.matchAll(/<line[^>]*>/g)].map(([tag]) => tag).filter((tag) => attribute(tag, 'class') === kind);

/** Every degree line, in the drawing's own order. */
export function degreeLines(svg: string): { deg: number; xMm: number; yMm: number }[] {
  const { mmPerUnit } = paperSize(svg);
  return linesOf(svg, 'deg').map((tag) => {
    const [x1, x2] = [Number(attribute(tag, 'x1')), Number(attribute(tag, 'x2'))];
    if (x1 !== x2) throw new Error('an upright line was wanted');
    return {
      deg: Number(attribute(tag, 'data-deg')),
      xMm: x1 * mmPerUnit,
      yMm: Number(attribute(tag, 'y1')) * mmPerUnit,
    };
  });
}

/** The bar that is to be measured after printing, end to end. */
export function barLength(svg: string): number {
  const ends = linesOf(svg, 'bar-end').map((tag) => Number(attribute(tag, 'x1')));
  if (ends.length !== 2) throw new Error(`one bar was wanted, got ${ends.length / 2}`);
  return (ends[1]! - ends[0]!) * paperSize(svg).mmPerUnit;
}
