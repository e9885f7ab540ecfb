/** The checks used as at the engine: top dead centre proved, the tape printed and measured back, vacuum tapped in, the
 * points set. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { launchChromium } from '../helpers/chromium';
import { measurePdf, type PdfPage, type UprightLine } from '../helpers/measure-pdf';
import { figureText, openView, pressPastCautions } from '../helpers/page-acts';

let browser: Browser;
/** One page a scene, used test after test as an evening goes. */
let [following, empty]: [Page, Page] = [null!, null!];
beforeAll(async () => {
  browser = await launchChromium({ input: null });
  [following, empty] = await Promise.all([checksOf('following'), checksOf('empty')]);
});
afterAll(() => browser.close());

async function checksOf(scene: string): Promise<Page> {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    reducedMotion: 'reduce',
  });
  const page = await context.newPage();
  await page.addInitScript(() => {
    // The sheet is put in by hand and no part of the document's text.
    const styles = (): string =>
      [...document.adoptedStyleSheets]
        .flatMap(({ cssRules }) => [...cssRules].map(({ cssText }) => cssText))
        .join('');
    window.print = () =>
      Object.assign(window.top!, {
        printed: document.documentElement.outerHTML.replace('</head>', `<style>${styles()}</style></head>`),
      });
  });
  await page.goto(`${inject('viewsAddress')}?scene=${scene}&theme=sun#checks`);
  await page.getByRole('heading', { name: 'Timing tape' }).waitFor();
  return page;
}
async function key(page: Page, label: string, text: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(text);
  await field.press('Tab');
}

test('an empty job claims nothing: no error, no tape, no vacuum, no dwell', async () => {
  const page = empty;
  expect(await page.locator('.figure .value').count()).toBe(0);
  await page.getByText('The damper’s diameter is wanted').waitFor();
  await page.getByText('Not proved yet').waitFor();
});

test('top dead centre is proved by a stop, and the error taken into the corrections by two taps', async () => {
  const page = empty;
  expect(await page.getByText('never with the starter').isVisible()).toBe(true);
  expect(await page.getByRole('button', { name: 'Keep this proof' }).isDisabled()).toBe(true);
  await key(page, 'First reading', '22');
  await key(page, 'Second reading', '-18');
  // Common practice: half the signed sum, 2; read to 0.5 either side it is good to 1.96 · 0.5/√2 = 0.69.
  expect(await figureText(page, 'The tape’s zero error')).toBe('+2.0°');
  await page.getByText('1.3 to 2.7').first().waitFor();
  await page.getByRole('button', { name: 'Keep this proof' }).click();
  await page.getByRole('button', { name: 'Take this error into the corrections' }).click();
  await page.getByText('In the corrections').waitFor();
  await openView(page, 'engine');
  expect(await page.getByLabel('Tape’s zero error', { exact: true }).inputValue()).toBe('2');
  await page.getByText('Proved, good to ± 0.7°').waitFor();
  await openView(page, 'checks');
});

test('a dial on one side wants stroke and rod, and then gives the error', async () => {
  const page = empty;
  await page.getByRole('radio', { name: /Dial, one side/ }).check();
  await key(page, 'Tape reads', '11.5');
  await page.getByText('stroke and rod length are wanted').waitFor();
  await key(page, 'Stroke', '80');
  await key(page, 'Rod, eye to eye', '140');
  await key(page, 'Piston’s drop', '0.780103'); // 10 degrees, worked from the printed slider-crank formula
  expect(await figureText(page, 'The tape’s zero error')).toBe('+1.5°');
});

test('proofs that lie further apart than their readings allow warn of a ring that slips', async () => {
  const page = following;
  await page.getByText('ring may have slipped').waitFor(); // 0.5 and 2.25 degrees, each good to 0.7
});

describe('the tape on paper', () => {
  /** What the page hands to the printer, as a PDF. */
  async function printed(): Promise<PdfPage[]> {
    await following.evaluate(() => Reflect.deleteProperty(window, 'printed'));
    await following.getByRole('button', { name: 'Print at true scale' }).click();
    await following.waitForFunction(() => 'printed' in window);
    const html = await following.evaluate(() => (window as unknown as { printed: string }).printed);
    const paper = await following.context().newPage();
    await paper.setContent(html);
    const pages = measurePdf(await paper.pdf({ preferCSSPageSize: true }));
    await paper.close();
    return pages;
  }
  /** Lines that hang from one edge, left to right; strips from the top down, the bar's two ends last. */
  function rowsOf({ lines }: PdfPage): UprightLine[][] {
    const rows = new Map<number, UprightLine[]>();
    for (const line of lines) {
      if (line.lengthMm < 3) continue; // a dash of a joint, drawn as a box
      const row = Math.round(line.topMm * 10);
      rows.set(row, [...(rows.get(row) ?? []), line]);
    }
    return [...rows]
      .filter(([, row]) => row.length > 1)
      .sort(([a], [b]) => a - b)
      .map(([, row]) => row.sort((a, b) => a.xMm - b.xMm));
  }
  const between = (row: readonly UprightLine[], from: number, to: number): number =>
    row[to]!.xMm - row[from]!.xMm;

  test('measured back from the PDF: 1.773 mm to the degree on 203.2 mm, 638.4 mm in all, the bar 100 mm', async () => {
    const pages = await printed();
    expect(pages).toHaveLength(1);
    expect(Math.abs(pages[0]!.widthMm - 297)).toBeLessThan(0.5);
    expect(Math.abs(pages[0]!.heightMm - 210)).toBeLessThan(0.5);
    const rows = rowsOf(pages[0]!);
    const scales = rows.filter((row) => row.length > 50);
    for (const row of scales) {
      const degrees = row.length - 1;
      expect(between(row, 0, degrees) / degrees / 1.77325).toBeCloseTo(1, 3); // π · 203.2 / 360
      for (let i = 1; i < row.length; i++)
        expect(Math.abs(between(row, i - 1, i) - 1.773)).toBeLessThan(0.02);
    }
    // Three strips of 277 mm less margins; each tab repeats 5 lines after its joint (10 mm), the last one's, too.
    const own = scales.reduce((sum, row) => sum + between(row, 0, row.length - 1 - 5), 0);
    expect(own / 638.372).toBeCloseTo(1, 3); // π · 203.2, to 0.1 % and better
    const bar = rows.at(-1)!;
    expect(bar).toHaveLength(2);
    expect(Math.abs(between(bar, 0, 1) - 100)).toBeLessThan(0.05);
  });

  test('on Letter it keeps its scale on the other page', async () => {
    await following.getByRole('radio', { name: 'Letter' }).check();
    const [sheet] = await printed();
    expect(Math.abs(sheet!.widthMm - 279.4)).toBeLessThan(0.5); // 11 in
    const row = rowsOf(sheet!)[0]!;
    expect(between(row, 0, 100) / 177.325).toBeCloseTo(1, 3);
  });

  test('a part of it is shown as it prints, and stays chosen while another view is looked at', async () => {
    const page = following;
    const strip = page.getByRole('img', { name: /^The tape from/ });
    expect(await strip.getAttribute('alt')).toContain('180 degrees before to 180 degrees after');
    await page.getByRole('radio', { name: /A part of it/ }).check();
    await key(page, 'Before TDC', '40');
    await key(page, 'After TDC', '10');
    await openView(page, 'engine');
    await openView(page, 'checks');
    await page.getByRole('img', { name: 'The tape from 40 degrees before to 10 degrees after' }).waitFor();
    // 50 degrees of π · 203.2 / 360 mm each, on a tape 17 mm across
    await expect
      .poll(() => strip.evaluate((img: HTMLImageElement) => img.naturalWidth / img.naturalHeight))
      .toBeCloseTo((50 * 1.77325) / 17, 1);
    const row = rowsOf((await printed())[0]!)[0]!;
    expect(row).toHaveLength(51);
    expect(between(row, 0, 50) / (50 * 1.77325)).toBeCloseTo(1, 3);
  });

  test('a bar that measures short is told from a print at true scale', async () => {
    const page = following;
    await key(page, 'The bar measures', '97');
    await page.getByText('The print is at 97.0 % of true scale').waitFor();
    await key(page, 'The bar measures', '100');
    await page.getByText('The print is at true scale').waitFor();
  });
});

test('vacuum is read with the pad, step by step, and the total at cruise is held against the limit', async () => {
  const page = following;
  const rows = page.getByRole('table', { name: 'Vacuum readings' }).locator('tbody tr');
  const before = await rows.count();
  const asLast = page.getByRole('group', { name: 'Likely values' }).getByRole('button').nth(2);
  await pressPastCautions(page, page.getByRole('button', { name: 'Read the mark here' }));
  await asLast.click();
  await expect.poll(() => rows.count()).toBe(before + 1);
  // The scene's can: 14 degrees from 5 to 12 inHg.
  expect(Number((await figureText(page, 'It adds')).replace('°', ''))).toBeGreaterThan(13);
  expect(Number(/[\d.]+/.exec(await figureText(page, 'Start'))![0])).toBeLessThan(6);
  await key(page, 'Cruising speed', '2900');
  await page.getByText('No limit is set to hold it against').waitFor();
  await key(page, 'Never above', '40');
  await page.getByText('over the limit of 40.0°').waitFor();
  await pressPastCautions(page, page.getByRole('button', { name: 'Read the mark here' }));
  await page.keyboard.type(/[\d.]+/.exec(await asLast.innerText())![0]);
  await page.keyboard.press('Enter');
  await expect.poll(() => rows.count()).toBe(before + 2);
});

test('a dwell seen in the signal is taken by one tap, and where none can be told the sheet says why', async () => {
  const page = following;
  await page.getByText('The clamp is not on the coil lead').waitFor();
  expect(await page.getByRole('button', { name: 'as a reading' }).count()).toBe(0);
  const heard = await checksOf('recording');
  expect(await figureText(heard, 'Dwell heard')).toBe('29.4°');
  await heard.getByText('± 0.2°, 65.3 ± 0.5 % of the interval').waitFor();
  await heard.getByRole('button', { name: 'Take 29.4° as a reading' }).click();
  await heard.getByText('29.4°, from the signal').waitFor();
  await heard.context().close();
});

test('another dwell says which way the gap goes and what it does to the timing', async () => {
  const page = following;
  await key(page, 'Dwell wanted', '30');
  // From 28.5, at 2 degrees for 0.05 mm in the scene: 1.5 degrees are 0.04 mm, and retard the crank by 1.5.
  await page.getByText('Close the gap by about 0.04 mm').waitFor();
  await page.getByText('retards the spark by about 1.5° at the crank').waitFor();
});
