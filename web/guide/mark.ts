/** Finds the control that the guide means and marks it where it stands: the page's own control, never a copy of it. */

const MARKED = 'data-guided';
/** So much of it must be on the screen to be called seen. */
const SEEN_SHARE = 0.5;

const isShown = (element: Element): boolean =>
  element.checkVisibility() && element.getClientRects().length > 0;

function namedBy(name: string): string {
  const view = /^view (\w+)$/.exec(name)?.[1];
  if (view) return `nav > a[href="#${view}"], nav .rest a[href="#${view}"]`;
  return name
    .split(' ')
    .map((one) => `[data-guide~="${one}"]`)
    .join(', ');
}

/** @param at a `data-guide` name, several where the first there is counts, or "view run": that view's tab
 * @returns null where nothing of that name is on the page */
export function controlAt(at: string): HTMLElement | null {
  const found = [...document.querySelectorAll<HTMLElement>(namedBy(at))].find(isShown);
  if (found || !at.startsWith('view ')) return found ?? null;
  return document.querySelector<HTMLElement>('nav > button'); // on a phone it stands behind this one
}

/** Marks this element alone; null: none. */
export function mark(element: HTMLElement | null): void {
  for (const other of document.querySelectorAll(`[${MARKED}]`))
    if (other !== element) other.removeAttribute(MARKED);
  element?.setAttribute(MARKED, '');
}

/** Whether enough of it is on the screen to be looked at, the strips at the edges not counted. */
export function isInSight(element: HTMLElement): boolean {
  const { top, bottom, height } = element.getBoundingClientRect();
  const seen = Math.min(bottom, innerHeight) - Math.max(top, 0);
  return seen >= Math.min(SEEN_SHARE * height, SEEN_SHARE * innerHeight);
}

/** Brings it into sight and gives it, or the first control in it, the focus. */
export function bring(element: HTMLElement): void {
  const isControl = 'button, a[href], input, select';
  const target = element.matches(isControl) ? element : element.querySelector<HTMLElement>(isControl);
  element.scrollIntoView({ block: element.clientHeight > innerHeight / 2 ? 'start' : 'center' });
  target?.focus({ preventScroll: true });
}
