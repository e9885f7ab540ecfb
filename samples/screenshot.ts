/** Takes the README's picture: the real page, the practice engine, some steps held and read. `tsx samples/screenshot.ts` */
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { chromiumForTests } from '../test/helpers/find-chromium';
import { openView, pressPastCautions } from '../test/helpers/page-acts';
import { servePage } from '../test/helpers/page-server';

const STEPS = 9;
const served = await servePage('web');
const browser = await chromium.launch({
  executablePath: chromiumForTests(),
  args: ['--no-sandbox', '--disable-gpu'],
});
try {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(served.address);
  await openView(page, 'run');
  const practise = page.getByRole('button', { name: 'Start the practice engine' });
  await practise.click();
  await practise.waitFor({ state: 'hidden' });
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByRole('button', { name: /helper at the throttle/ }).click();
  for (let step = 1; step <= STEPS; step++) {
    const hold = page.getByTestId('hold').getByText('steady');
    await hold.waitFor({ timeout: step === 1 ? 6000 : 15_000 }).catch(() => undefined);
    // The pointer's place on the rim, read to half a degree as a person does.
    const degrees = await page.getByTestId('practice').evaluate((practice) => {
      const svg = practice.querySelector('.rim svg')!;
      const marks = [...svg.querySelectorAll('g[transform]')].flatMap((mark) => {
        const words = mark.querySelector('text')?.textContent;
        const x = Number(/translate\(([-\d.]+)/.exec(mark.getAttribute('transform')!)![1]);
        return words === undefined
          ? []
          : [{ x, deg: words === 'TDC' ? 0 : Number(words?.replace('\u2212', '-')) }];
      });
      const middle = svg.clientWidth / 2;
      const [near, next] = marks.sort((a, b) => Math.abs(a.x - middle) - Math.abs(b.x - middle));
      return near!.deg + ((middle - near!.x) / (next!.x - near!.x)) * (next!.deg - near!.deg);
    });
    await page.keyboard.press('Space');
    await page.keyboard.type((Math.round(degrees * 2) / 2).toFixed(1));
    await page.keyboard.press('Enter');
    await page.getByTestId('count').getByText(`${step} reading`).waitFor();
  }
  await page
    .getByTestId('hold')
    .getByText('steady')
    .waitFor({ timeout: 15_000 })
    .catch(() => undefined);
  await page.screenshot({ path: join(import.meta.dirname, 'screenshots', 'run.png') });
} finally {
  await browser.close();
  await served.close();
}
