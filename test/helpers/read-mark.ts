/** Reads the practice engine's mark off the page as an eye does: between the figures beside the pointer. */
import type { Page } from 'playwright-core';

const GLANCE_EVERY_MS = 120;

/** Where the pointer stands on the rim's tape, degrees: the mean of some glances. */
export async function readMark(page: Page, glances = 8): Promise<number> {
  let sum = 0;
  for (let i = 0; i < glances; i++) {
    sum += await glance(page);
    await page.waitForTimeout(GLANCE_EVERY_MS);
  }
  return sum / glances;
}

const glance = (page: Page): Promise<number> =>
  page.getByTestId('practice').evaluate((practice) => {
    const svg = practice.querySelector('.rim svg')!;
    const figures = [...svg.querySelectorAll('g[transform]')].flatMap((mark) => {
      const words = mark.querySelector('text')?.textContent;
      const x = Number(/translate\(([-\d.]+)/.exec(mark.getAttribute('transform')!)![1]);
      const deg = words === 'TDC' ? 0 : Number(words?.replace('\u2212', '-'));
      return words === undefined ? [] : [{ x, deg }];
    });
    const pointer = svg.clientWidth / 2;
    const [near, next] = figures.sort((a, b) => Math.abs(a.x - pointer) - Math.abs(b.x - pointer));
    return near!.deg + ((pointer - near!.x) / (next!.x - near!.x)) * (next!.deg - near!.deg);
  });
