/** The run key by key and tap by tap, on a made state; first-minutes.test.ts does it with the practice engine. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from '../helpers/chromium';

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium({ input: null });
});
afterAll(() => browser.close());

declare global {
  interface Window {
    /** What stood over the run when its curve was drawn. */
    drawnBehind: Promise<'pad' | 'nothing'>;
  }
}

const PHONE = { width: 390, height: 844 };
const LAPTOP = { width: 1280, height: 800 };

let page: Page;

/** The run on a scene, as it stands when it is opened: one page for all tests, loaded anew for each. */
async function madeRun(scene: string, viewport = LAPTOP): Promise<void> {
  page ??= await (await browser.newContext({ viewport })).newPage();
  await page.setViewportSize(viewport);
  await page.goto('about:blank'); // the same address again would not be loaded anew
  await page.goto(`${inject('viewsAddress')}?scene=${scene}#run`);
  await page.getByRole('button', { name: 'Pin reading' }).waitFor();
}

test.each([PHONE, LAPTOP])(
  'the run stands on one screen, below a problem too: nothing to scroll at $width x $height',
  async (size) => {
    for (const scene of ['following', 'practice', 'lost']) {
      await madeRun(scene, size);
      const over = (): Promise<number> =>
        page.evaluate(() => document.documentElement.scrollHeight - window.innerHeight);
      expect(await over(), scene).toBeLessThanOrEqual(0);
      expect(await page.getByRole('alert').count()).toBe(scene === 'lost' ? 1 : 0);
      await page.getByRole('button', { name: 'Type a speed' }).click();
      await page.getByTestId('typed').waitFor();
      expect(await over(), `${scene}, pad open`).toBeLessThanOrEqual(0);
      const pad = (await page.getByRole('button', { name: 'OK', exact: true }).boundingBox())!;
      expect(pad.y + pad.height).toBeLessThanOrEqual(size.height - (size === PHONE ? 72 : 0));
    }
  },
);

const UNDER_GUIDE = [
  ['practice', LAPTOP],
  ['following', LAPTOP],
  ['lost', LAPTOP], // a problem stands above
  ['lost', PHONE],
] as const;
test.each(UNDER_GUIDE)(
  'under the guide the pad keeps its keys within its frame, each as tall as a glove needs: %s at %o',
  async (scene, size) => {
    await madeRun(scene, size);
    await page.evaluate(() =>
      document.body.insertAdjacentHTML('beforeend', '<div class="guide-place"></div>'),
    );
    await page.getByRole('button', { name: 'Type a speed' }).click();
    const frame = (await page.locator('.pad').boundingBox())!;
    const keys = await page.locator('.pad button').all();
    expect(keys.length).toBeGreaterThan(14);
    for (const key of keys) {
      const box = (await key.boundingBox())!;
      expect(box.height).toBeGreaterThanOrEqual(48);
      expect(box.y + box.height).toBeLessThanOrEqual(frame.y + frame.height);
    }
  },
);

test('space pins once and presses no button that has the focus', async () => {
  await madeRun('following');
  const readings = page.getByTestId('count');
  const before = await readings.innerText();
  await page.getByRole('button', { name: 'Undo', exact: true }).focus();
  await page.keyboard.press('Space');
  await page.getByTestId('typed').getByText('degrees?').waitFor();
  expect(await readings.innerText()).toBe(before); // nothing was taken back
});

test('space, the page keys and Enter pin the moment, Escape lets it go, and nothing is stored or scrolled', async () => {
  await madeRun('following');
  for (const key of ['Space', 'PageDown', 'PageUp', 'Enter']) {
    await page.keyboard.press(key);
    await page.getByTestId('typed').waitFor();
    expect(await page.getByText('1404 rpm ± 12', { exact: true }).isVisible(), key).toBe(true);
    expect(await page.evaluate(() => window.scrollY)).toBe(0);
    await page.keyboard.type('12');
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Pin reading' }).waitFor();
  }
  expect(await page.getByTestId('count').innerText()).toContain('13 readings');
});

test('digits go to the pad, Enter takes them, and the reading stands as the last', async () => {
  await madeRun('following');
  await page.keyboard.press('Space');
  await page.keyboard.type('17,5');
  expect(await page.getByTestId('typed').innerText()).toBe('17.5°');
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('1404 rpm · 17.5°');
  expect(await page.getByTestId('count').innerText()).toContain('14 readings');
  expect(await page.getByRole('status').innerText()).toBe('Reading stored: 1404 rpm, 17.5 degrees');
  await page.keyboard.press('Control+z');
  expect(await page.getByTestId('count').innerText()).toContain('13 readings');
});

test('the point is drawn while the pad still stands; then the pin button has its place and the focus', async () => {
  await madeRun('following');
  await page.keyboard.press('Space');
  await page.keyboard.type('17');
  await page.evaluate(() => {
    const pen = CanvasRenderingContext2D.prototype;
    const clear = pen.clearRect;
    window.drawnBehind = new Promise((resolve) => {
      pen.clearRect = function (...box) {
        clear.apply(this, box);
        if (this.canvas.matches('.curve canvas')) resolve(document.querySelector('.pad') ? 'pad' : 'nothing');
      };
    });
  });
  await page.keyboard.press('Enter');
  expect(await page.evaluate(() => window.drawnBehind)).toBe('pad');
  await page.locator('.pad').waitFor({ state: 'detached' });
  await page.locator('[data-pin]:focus').waitFor();
});

test('one tap on a likely value makes the reading', async () => {
  await madeRun('following', PHONE);
  await page.getByRole('button', { name: 'Pin reading' }).click();
  const likely = page.getByRole('group', { name: 'Likely values' }).getByRole('button');
  expect(await likely.count()).toBe(7);
  // Readings of 17 at 1402 and 14 at 1198 rpm stand in the scenario: 17 is in the middle.
  expect(await likely.nth(3).innerText()).toMatch(/^17/);
  await likely.nth(4).click();
  expect(await page.getByTestId('last').innerText()).toContain('18.0°');
});

test('keys tapped on the pad are not pressed again by Enter', async () => {
  await madeRun('following');
  await page.keyboard.press('Space');
  await page.getByRole('button', { name: '1', exact: true }).click();
  await page.getByRole('button', { name: '9', exact: true }).click();
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('19.0°');
});

test('without sound a speed is typed on the pad, then its degrees', async () => {
  await madeRun('lost');
  await page.keyboard.press('Space');
  await page.getByTestId('typed').getByText('rpm?').waitFor();
  await page.keyboard.type('1850');
  await page.keyboard.press('Enter');
  await page.getByTestId('typed').getByText('degrees?').waitFor();
  await page.keyboard.type('22');
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('1850 rpm · 22.0°');
});

test('a note is typed with its spaces and pins nothing', async () => {
  await madeRun('following');
  await page.getByRole('button', { name: 'Note' }).click();
  await page.keyboard.type('mark 2 wide');
  await page.keyboard.press('Enter');
  expect(await page.getByTestId('last').innerText()).toContain('mark 2 wide');
  expect(await page.getByTestId('typed').count()).toBe(0);
});

test('a corner of the target is moved by the arrow keys and dragged', async () => {
  await madeRun('following');
  await page.locator('nav a[href="#engine"]').click();
  const corner = page.getByRole('button', { name: /^Corner 2 of 3/ });
  await corner.focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowUp');
  expect(await corner.getAttribute('aria-label')).toBe('Corner 2 of 3: 1550 rpm, 20.5 degrees before TDC');
  const box = (await corner.boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 40, box.y + box.height / 2, { steps: 4 });
  await page.mouse.up();
  const rpm = Number(/(\d+) rpm/.exec((await corner.getAttribute('aria-label'))!)![1]);
  expect(rpm).toBeGreaterThan(1550);
  expect(rpm % 50).toBe(0);
});
