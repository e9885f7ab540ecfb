/** What the built page has beside its own sources: a content security policy, icons drawn from the mark, a manifest and a
 * service worker that keeps every file of the page. Addresses are relative: any static folder will do. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Plugin, PluginOption } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';
import { iconPng } from './icon.ts';

/** Nothing but the page's own files, no script or style written into the page, no request to anywhere else. Blobs are
 * pictures that the page draws and files that it hands out. A meta element: a static host may send no headers.
 * @source W3C Content Security Policy Level 3, section 6 */
export const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "worker-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob:",
  "connect-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

const MARK = fileURLToPath(new URL('../web/icons/mark.svg', import.meta.url));
/** A system that cuts an icon to a circle keeps the middle four fifths of it [W3C Web App Manifest, icon masks]. */
const MASKABLE_SHARE = 0.72;
const ICONS = [
  { file: 'icons/mark-180.png', sizePx: 180, share: 0.84, purpose: null }, // corners are rounded by the system
  { file: 'icons/mark-192.png', sizePx: 192, share: 1, purpose: 'any' },
  { file: 'icons/mark-512.png', sizePx: 512, share: 1, purpose: 'any' },
  { file: 'icons/mark-maskable-512.png', sizePx: 512, share: MASKABLE_SHARE, purpose: 'maskable' },
] as const;

const inHead = (tag: string, attrs: Record<string, string>) => ({
  tag,
  attrs,
  injectTo: 'head-prepend' as const,
});

function policyAndIcons(): Plugin {
  return {
    name: 'clampline-page-parts',
    apply: 'build',
    transformIndexHtml: () => [
      inHead('meta', { 'http-equiv': 'Content-Security-Policy', content: POLICY }),
      inHead('link', { rel: 'apple-touch-icon', href: './icons/mark-180.png' }),
    ],
    generateBundle() {
      const svg = readFileSync(MARK, 'utf8');
      for (const { file, sizePx, share } of ICONS)
        this.emitFile({ type: 'asset', fileName: file, source: iconPng(svg, sizePx, share) });
      this.emitFile({ type: 'asset', fileName: 'icons/mark.svg', source: svg });
    },
  };
}

const GROUND = '#0c1433';

const installable = (): PluginOption =>
  VitePWA({
    strategies: 'generateSW',
    injectRegister: false, // the page registers it, and tells of news
    registerType: 'prompt',
    manifest: {
      name: 'Clampline',
      short_name: 'Clampline',
      description: 'Hear the ignition through a clamp, tap in the advance read off the light, see the curve.',
      lang: 'en-GB',
      start_url: './',
      scope: './',
      display: 'standalone',
      background_color: GROUND,
      theme_color: GROUND,
      categories: ['utilities'],
      icons: [
        { src: './icons/mark.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
        ...ICONS.flatMap(({ file, sizePx, purpose }) =>
          purpose === null
            ? []
            : [{ src: `./${file}`, sizes: `${sizePx}x${sizePx}`, type: 'image/png', purpose }],
        ),
      ],
    },
    includeManifestIcons: false, // they are among the files already
    workbox: {
      globPatterns: ['**/*.{html,js,css,svg,png,webmanifest}'],
      mode: 'production',
      sourcemap: false,
      inlineWorkboxRuntime: true, // one file: nothing of it can be missing
      cleanupOutdatedCaches: true,
      clientsClaim: true, // the first visit is kept as well
      skipWaiting: false, // a newer page waits until the person takes it
      navigateFallback: null,
      ignoreURLParametersMatching: [/./],
    },
  });

/** @param isPage false: a test's page, the sources served for work, or a test run: none of this */
export const pageParts = (isPage: boolean): PluginOption[] =>
  isPage ? [policyAndIcons(), installable()] : [];
