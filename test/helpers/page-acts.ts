/** What a person does on the page, for browser tests: through its controls and its words alone. */
import type { Job } from '../../core/job';
import { readFile } from 'node:fs/promises';
import type { Locator, Page } from 'playwright-core';
import type { ViewName as View } from '../../web/view-list';

/** Goes to a view by its tab; on a phone by "More" where it stands there. */
export async function openView(page: Page, view: View): Promise<void> {
  const tab = page.locator(`nav a[href="#${view}"]`);
  await page.locator('main[data-view]').waitFor(); // the page stands
  if ((await tab.count()) === 0) await page.getByRole('button', { name: 'More', exact: true }).click();
  await tab.click();
  await page.locator(`main[data-view="${view}"]`).waitFor();
}

/** Gives the page another size and waits for the views' tape to be laid out for it. */
export async function resizeTo(page: Page, size: { width: number; height: number }): Promise<void> {
  await page.setViewportSize(size);
  const more = page.getByRole('button', { name: 'More', exact: true });
  await more.waitFor({ state: size.width < 900 ? 'visible' : 'detached' });
}

/** Presses a button and acknowledges its cautions, if it shows any. */
export async function pressPastCautions(page: Page, button: Locator): Promise<void> {
  await button.click();
  const goOn = page.getByRole('button', { name: 'Understood, go on' });
  if (await goOn.isVisible()) await goOn.click();
}

/** Chooses the line input, a device by its label, and starts listening. */
export async function listenTo(page: Page, device: string | null): Promise<void> {
  await openView(page, 'sound');
  await page.getByRole('radio', { name: /Line input/ }).check();
  if (device !== null) {
    await page.getByRole('button', { name: 'List the inputs' }).click();
    await page.getByLabel('Input', { exact: true }).selectOption({ label: device });
  }
  await pressPastCautions(page, page.getByRole('button', { name: 'Start listening' }));
}

/** The text of a named figure on the page: "Strikes found" gives "129". */
export const figureText = (page: Page, label: string): Promise<string> =>
  page
    .locator('.figure', { has: page.getByText(label, { exact: true }) })
    .locator('.value')
    .innerText();

/** The sentence of the problem on show and the label of its way on. */
export async function problemOnShow(page: Page): Promise<{ text: string; wayOn: string | null }> {
  const problem = page.getByRole('alert').first();
  await problem.waitFor();
  const button = problem.getByRole('button');
  return {
    text: await problem.locator('p').innerText(),
    wayOn: (await button.count()) > 0 ? await button.innerText() : null,
  };
}

/** Presses what saves a file and reads the download. */
export async function downloadOf(page: Page, button: Locator): Promise<Buffer> {
  const [download] = await Promise.all([page.waitForEvent('download'), button.click()]);
  return readFile(await download.path());
}

/** Saving goes by a download, as in browsers that have no file dialogue of their own. */
export async function saveByDownload(page: Page): Promise<void> {
  await page.addInitScript(() => {
    for (const name of ['showSaveFilePicker', 'showOpenFilePicker']) Reflect.deleteProperty(window, name);
  });
}

/** Types the degrees of the moment that is pinned. */
export async function typeDegrees(page: Page, deg: number): Promise<void> {
  const pad = page.getByRole('region', { name: 'Degrees of the pinned reading' });
  await pad.waitFor();
  await page.keyboard.type(String(deg));
  await page.keyboard.press('Enter');
  await pad.waitFor({ state: 'hidden' });
}

/** Pins by the space bar once there is a speed, and types the degrees. */
export async function keyReading(page: Page, deg: number): Promise<void> {
  await page.getByTestId('speed').filter({ hasText: 'rpm' }).waitFor();
  await page.keyboard.press(' ');
  await typeDegrees(page, deg);
}

/** The open job as its file has it. */
export async function savedJob(page: Page): Promise<Job> {
  await openView(page, 'jobs');
  const file = await downloadOf(page, page.getByRole('button', { name: 'Save the job file' }));
  return JSON.parse(file.toString()) as Job;
}
