/** A drawing as SVG text in, a PNG out, two dots for each unit. Needs a page: it is drawn on a canvas. */

const DOTS_PER_UNIT = 2;

/** @throws Error if the browser cannot draw it */
export async function pngOf(svg: string, width: number, height: number): Promise<Blob> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image(width * DOTS_PER_UNIT, height * DOTS_PER_UNIT);
    image.src = url;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = image.width;
    canvas.height = image.height;
    const pen = canvas.getContext('2d');
    if (!pen) throw new Error('this browser gave no canvas to draw on');
    pen.drawImage(image, 0, 0, image.width, image.height);
    return await blobOf(canvas);
  } finally {
    URL.revokeObjectURL(url);
  }
}

const blobOf = (canvas: HTMLCanvasElement): Promise<Blob> =>
  new Promise((resolve, reject) =>
    canvas.toBlob(
      (blob) => (blob ? resolve(blob) : reject(new Error('the picture could not be made'))),
      'image/png',
    ),
  );
