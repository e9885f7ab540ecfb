/** The run as a person does it: with the practice engine on the real page, and key by key on a made state. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { speedAtAdvance } from '../../core/mechanism';
import { practiceMechanism } from '../../core/practice/practice-distributor';
import { launchChromium } from '../helpers/chromium';
import { figureText, openView, pressPastCautions } from '../helpers/page-acts';

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

const PHONE = { width: 390, height: 844 };
const LAPTOP = { width: 1280, height: 800 };

async function madeRun(scene: string, viewport = LAPTOP): Promise<Page> {
  const page = await (await browser.newContext({ viewport })).newPage();
  await page.goto(`${inject('viewsAddress')}?scene=${scene}#run`);
  await page.getByRole('button', { name: 'Pin reading' }).waitFor();
  return page;
}

/** Where the pointer stands on the rim's tape, as an eye between two figures reads it; the mean of some glances. */
async function readMark(page: Page, glances = 8): Promise<number> {
  let sum = 0;
  for (let i = 0; i < glances; i++) {
    sum += await page.getByTestId('practice').evaluate((practice) => {
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
    await page.waitForTimeout(120);
  }
  return sum / glances;
}

test('with the practice engine the whole job is done: steps held, readings keyed, the curve and its corners found', async () => {
  const page = await (await browser.newContext({ viewport: LAPTOP })).newPage();
  await page.goto(inject('pageAddress'));
  await openView(page, 'run');
  const practise = page.getByRole('button', { name: 'Start the practice engine' });
  await practise.click();
  await practise.waitFor({ state: 'hidden' });
  await pressPastCautions(page, page.getByRole('button', { name: 'Start run' }));
  await page.getByRole('button', { name: /^Parts/ }).click();
  await page.getByRole('radio', { name: /Heavy pair/ }).check();
  await page.getByRole('radio', { name: /Short stop/ }).check();
  await page.getByRole('button', { name: /^\+1°.*advance/ }).click();
  const housing = parseFloat(await page.locator('dialog output').innerText());
  await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
  await page.getByRole('button', { name: /helper at the throttle/ }).click();

  const hold = page.getByTestId('hold');
  let steps = 0;
  while (!(await hold.innerText()).includes('All steps')) {
    // The first step may lie below idle: then idle is what is read there.
    await hold
      .getByText('steady')
      .waitFor({ timeout: steps ? 30_000 : 6000 })
      .catch(() => undefined);
    const degrees = await readMark(page);
    await page.keyboard.press('Space');
    await page.keyboard.type((Math.round(degrees * 2) / 2).toFixed(1));
    await page.keyboard.press('Enter');
    steps++;
    await page.getByTestId('count').getByText(`${steps} reading`).waitFor();
    expect(steps).toBeLessThan(20);
  }
  expect(steps).toBe(14); // 750 to 4000 rpm by 250

  await openView(page, 'result');
  // The truth is the engine's own: its housing, its stop, and the balance of weights and springs.
  const mechanism = practiceMechanism('heavy', 'short');
  const shown = async (label: string): Promise<number> => parseFloat(await figureText(page, label));
  // A light is read to about a degree (common practice): means of readings to half a degree are good to 0.7.
  expect(Math.abs((await shown('Initial')) - housing)).toBeLessThan(0.7);
  expect(Math.abs((await shown('Total')) - (housing + mechanism.stopRangeDeg))).toBeLessThan(0.7);
  // Corners between steps 250 rpm apart, read by eye: to a step.
  expect(Math.abs((await shown('Start')) - speedAtAdvance(mechanism, 0))).toBeLessThan(250);
  expect(Math.abs((await shown('All-in')) - speedAtAdvance(mechanism, mechanism.stopRangeDeg))).toBeLessThan(
    250,
  );
  expect(await page.getByRole('row').count()).toBe(15);
  await page.context().close();
}, 240_000);

test.each([PHONE, LAPTOP])(
  'the run stands on one screen: nothing to scroll at $width x $height',
  async (size) => {
    for (const scene of ['following', 'practice', 'lost']) {
      const page = await madeRun(scene, size);
      const over = (): Promise<number> =>
        page.evaluate(() => document.documentElement.scrollHeight - window.innerHeight);
      expect(await over(), scene).toBeLessThanOrEqual(0);
      await page.getByRole('button', { name: 'Type a speed' }).click();
      await page.getByTestId('typed').waitFor();
      expect(await over(), `${scene}, pad open`).toBeLessThanOrEqual(0);
      const pad = (await page.getByRole('button', { name: 'OK', exact: true }).boundingBox())!;
      expect(pad.y + pad.height).toBeLessThanOrEqual(size.height - (size === PHONE ? 72 : 0));
      await page.context().close();
    }
  },
);

test('space pins once and presses no button that has the focus', async () => {
  const page = await madeRun('following');
  const readings = page.getByTestId('count');
  const before = await readings.innerText();
  await page.getByRole('button', { name: 'Undo', exact: true }).focus();
  await page.keyboard.press('Space');
  await page.getByTestId('typed').getByText('degrees?').waitFor();
  expect(await readings.innerText()).toBe(before); // nothing was taken back
  await page.context().close();
});

test.each(['Space', 'PageDown', 'PageUp', 'Enter'])('%s pins the moment', async (key) => {
  const page = await madeRun('following');
  await page.keyboard.press(key);
  await page.getByTestId('typed').waitFor();
  expect(await page.getByText('1404 rpm ± 12', { exact: true }).isVisible()).toBe(true);
  expect(await page.evaluate(() => window.scrollY)).toBe(0);
  await page.context().close();
});

test('digits go to the pad, Enter takes them, and the reading stands as the last', async () => {
  const page = await madeRun('following');
  await page.keyboard.press('Space');
  await page.keyboard.type('17,5');
  expect(await page.getByTestId('typed').innerText()).toBe('17.5°');
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('1404 rpm · 17.5°');
  expect(await page.getByTestId('count').innerText()).toContain('14 readings');
  expect(await page.getByRole('status').innerText()).toBe('Reading stored: 1404 rpm, 17.5 degrees');
  await page.keyboard.press('Control+z');
  expect(await page.getByTestId('count').innerText()).toContain('13 readings');
  await page.context().close();
});

test('Escape lets the moment go and stores nothing', async () => {
  const page = await madeRun('following');
  await page.keyboard.press('Space');
  await page.keyboard.type('12');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Pin reading' }).waitFor();
  expect(await page.getByTestId('count').innerText()).toContain('13 readings');
  await page.context().close();
});

test('one tap on a likely value makes the reading', async () => {
  const page = await madeRun('following', PHONE);
  await page.getByRole('button', { name: 'Pin reading' }).click();
  const likely = page.getByRole('group', { name: 'Likely values' }).getByRole('button');
  expect(await likely.count()).toBe(7);
  // Readings of 17 at 1402 and 14 at 1198 rpm stand in the scenario: 17 is in the middle.
  expect(await likely.nth(3).innerText()).toMatch(/^17/);
  await likely.nth(4).click();
  expect(await page.getByTestId('last').innerText()).toContain('18.0°');
  await page.context().close();
});

test('keys tapped on the pad are not pressed again by Enter', async () => {
  const page = await madeRun('following');
  await page.keyboard.press('Space');
  await page.getByRole('button', { name: '1', exact: true }).click();
  await page.getByRole('button', { name: '9', exact: true }).click();
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('19.0°');
  await page.context().close();
});

test('without sound a speed is typed on the pad, then its degrees', async () => {
  const page = await madeRun('lost');
  await page.keyboard.press('Space');
  await page.getByTestId('typed').getByText('rpm?').waitFor();
  await page.keyboard.type('1850');
  await page.keyboard.press('Enter');
  await page.getByTestId('typed').getByText('degrees?').waitFor();
  await page.keyboard.type('22');
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('1850 rpm · 22.0°');
  await page.context().close();
});

test('a note is typed with its spaces and pins nothing', async () => {
  const page = await madeRun('following');
  await page.getByRole('button', { name: 'Note' }).click();
  await page.keyboard.type('mark 2 wide');
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('mark 2 wide');
  expect(await page.getByTestId('typed').count()).toBe(0);
  await page.context().close();
});

test('a corner of the target is moved by the arrow keys and dragged', async () => {
  const page = await (await browser.newContext({ viewport: LAPTOP })).newPage();
  await page.goto(`${inject('viewsAddress')}?scene=following#engine`);
  const corner = page.getByRole('button', { name: /^Corner 2 of 3/ });
  await corner.focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowUp');
  expect(await corner.getAttribute('aria-label')).toBe(
    'Corner 2 of 3: 1550 rpm, 20.5 degrees before top centre',
  );
  const box = (await corner.boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 40, box.y + box.height / 2, { steps: 4 });
  await page.mouse.up();
  const rpm = Number(/(\d+) rpm/.exec((await corner.getAttribute('aria-label'))!)![1]);
  expect(rpm).toBeGreaterThan(1550);
  expect(rpm % 50).toBe(0);
  await page.context().close();
});
