/** The page's colours as the canvas needs them: read from the tokens in force, and told when they change. */

const TOKENS = {
  plate: '--plate',
  raised: '--plate-raised',
  scribe: '--scribe',
  soft: '--scribe-soft',
  dye: '--dye',
  band: '--band',
  strike: '--strike',
} as const;

export type Palette = Readonly<Record<keyof typeof TOKENS | 'font', string>>;

/** The tokens in force at an element. A probe resolves them: a token may hold more than a plain colour. */
export function paletteAt(element: Element): Palette {
  const probe = element.appendChild(document.createElement('span'));
  const resolved = Object.entries(TOKENS).map(([name, token]) => {
    probe.style.color = `var(${token})`;
    return [name, getComputedStyle(probe).color];
  });
  probe.remove();
  return Object.fromEntries([...resolved, ['font', getComputedStyle(element).fontFamily]]) as Palette;
}

/** Calls back whenever the theme may have changed, by the system or by choice.
 * @returns a function that ends it */
export function watchTheme(changed: () => void): () => void {
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const observer = new MutationObserver(changed);
  for (const element of [document.documentElement, document.body])
    observer.observe(element, { attributes: true, attributeFilter: ['class', 'data-theme', 'style'] });
  dark.addEventListener('change', changed);
  return () => {
    observer.disconnect();
    dark.removeEventListener('change', changed);
  };
}
