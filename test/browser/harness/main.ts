/** The real page on a made state: ?scene=following&theme=night#sound. Only tests and screenshots open this. */
import '../../../web/style/tokens.css';
import '../../../web/style/base.css';
import '../../../web/style/parts.css';
import { mount } from 'svelte';
import App from '../../../web/App.svelte';
import { viewOf } from '../../../web/route.svelte';
import { loadView } from '../../../web/view-list';
import { fakeApp } from './fake-app.svelte';
import { SCENES, type Scene } from './made-sound';

const asked = new URLSearchParams(location.search);
const scene = asked.get('scene') ?? 'following';
const theme = asked.get('theme');
const app = fakeApp(SCENES.includes(scene as Scene) ? (scene as Scene) : 'following');
if (theme === 'sun' || theme === 'night') app.preferences.theme = theme;
// Not awaited by the module: see web/main.ts
void loadView(viewOf(location.hash)).then((first) =>
  mount(App, { target: document.getElementById('page')!, props: { app, first } }),
);
