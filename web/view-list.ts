/** The views, one entry each, in the order of the tape: title, place on a phone, sign, and how the view is loaded. */
import type { Component } from 'svelte';

export interface ViewFacts {
  readonly title: string;
  /** On a phone four views at most stand in the bar; the others open from "More". */
  readonly onPhone: 'bar' | 'more';
  /** The view's sign: a path scribed on a plate of 24 px. */
  readonly sign: string;
  readonly load: () => Promise<{ readonly default: Component }>;
}

export const VIEW_FACTS = {
  engine: {
    title: 'Engine',
    onPhone: 'more',
    // a distributor's cap from above: its ring, the middle post and four round it
    sign: 'M12 2a10 10 0 1 0 0 20a10 10 0 1 0 0-20M11 11h2v2h-2zM12 6v1M12 17v1M6 12h1M17 12h1',
    load: () => import('./views/Engine.svelte'),
  },
  sound: {
    title: 'Sound',
    onPhone: 'bar',
    // strikes on a line
    sign: 'M2 17h20M6 17V6M12 17V3M12 3l2 14M18 17V8',
    load: () => import('./views/Sound.svelte'),
  },
  run: {
    title: 'Run',
    onPhone: 'bar',
    // the notch over the tape
    sign: 'M2 13h20M5 13v6M9 13v4M12 13v8M15 13v4M19 13v6M7 3h10l-5 8z',
    load: () => import('./views/Run.svelte'),
  },
  result: {
    title: 'Result',
    onPhone: 'bar',
    // a curve with its two corners
    sign: 'M3 3v18h18M5 17h4l7-10h5M9 14.5v5M16 4.5v5',
    load: () => import('./views/Result.svelte'),
  },
  checks: {
    title: 'Checks',
    onPhone: 'more',
    // a piston at its stop, and the tape it is read on
    sign: 'M6 3h12v9H6zM12 12v4M2 19h20M5 19v3M12 17v5M19 19v3',
    load: () => import('./views/Checks.svelte'),
  },
  parts: {
    title: 'Parts',
    onPhone: 'more',
    // a spring between its hooks
    sign: 'M12 2v4M6 7l12 2M18 9L6 12M6 12l12 3M18 15L6 18M6 18l6 1v3',
    load: () => import('./views/Parts.svelte'),
  },
  log: {
    title: 'Log',
    onPhone: 'more',
    // entries along a line of days
    sign: 'M5 3v18M2 7h6M2 17h6M11 7h11M11 12h7M11 17h11',
    load: () => import('./views/Log.svelte'),
  },
  jobs: {
    title: 'Jobs',
    onPhone: 'more',
    // sheets on each other
    sign: 'M4 7h13v14H4zM8 7V3h13v14h-4M8 12h5M8 16h5',
    load: () => import('./views/Jobs.svelte'),
  },
} as const satisfies Readonly<Record<string, ViewFacts>>;

export type ViewName = keyof typeof VIEW_FACTS;
export const VIEWS = Object.keys(VIEW_FACTS) as ViewName[];

/** A view that is loaded. */
export interface OpenView {
  readonly name: ViewName;
  readonly component: Component;
}

/** @returns rejects where the view's script cannot be had */
export async function loadView(name: ViewName): Promise<OpenView> {
  return { name, component: (await VIEW_FACTS[name].load()).default };
}
