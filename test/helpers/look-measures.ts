/** Sizes of what is pressed, and ink of what is read, as the browser computed them: helpers of the look's tests. */
import type { Page } from 'playwright-core';

/** Buttons, links and fields that are smaller than they must be, by their words. */
export const tooSmall = (page: Page, leastPx: number): Promise<string[]> =>
  page.evaluate((least) => {
    const shown = [
      ...document.querySelectorAll<HTMLElement>(
        'main button, main select, main input, main a.button, nav a, nav button',
      ),
    ];
    return shown
      .filter((element) => element.checkVisibility() && !element.classList.contains('unseen'))
      .map((element) => ({
        box: element.getBoundingClientRect(),
        words: element.textContent.trim() || element.outerHTML,
      }))
      .filter(({ box }) => Math.min(box.width, box.height) < least - 0.5)
      .map(({ box, words }) => `${words.slice(0, 60)}: ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`);
  }, leastPx);

/** The least contrast of any figure on the page to the ground that it stands on, by what the browser computed, and how
 * many figures there are. Ratio: WCAG 2.2, relative luminance (w3.org/TR/WCAG22). */
export const leastContrast = (page: Page): Promise<{ least: number; figures: number }> =>
  page.evaluate(() => {
    const numbers = (colour: string): number[] => (colour.match(/[\d.]+/g) ?? []).map(Number);
    const luminance = (colour: string): number => {
      const [r, g, b] = numbers(colour)
        .map((c) => c / 255)
        .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
      return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
    };
    const groundOf = (element: Element | null): string => {
      if (!element) return getComputedStyle(document.documentElement).backgroundColor;
      const { backgroundColor } = getComputedStyle(element);
      return (numbers(backgroundColor)[3] ?? 1) === 0 ? groundOf(element.parentElement) : backgroundColor;
    };
    const figures = [...document.querySelectorAll('main *')].filter(
      (element) =>
        element.checkVisibility() &&
        !(element instanceof SVGElement) &&
        [...element.childNodes].some(
          (node) => node.nodeType === Node.TEXT_NODE && /\d/.test(node.textContent ?? ''),
        ) &&
        !element.closest('[popover], :disabled, .unseen'),
    );
    const ratios = figures.map((element) => {
      const [a, b] = [luminance(getComputedStyle(element).color), luminance(groundOf(element))];
      return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    });
    return { least: Math.min(...ratios), figures: ratios.length };
  });
