/** Opens the state and puts the page up. */
import './style/tokens.css';
import './style/base.css';
import './style/parts.css';
import { mount } from 'svelte';
import App from './App.svelte';
import type { AppState } from './state/contracts';

const opened = import.meta.glob<{ openApp: () => Promise<AppState> }>('./state/app.ts');
const open = opened['./state/app.ts'];
const target = document.getElementById('page');
if (open && target) mount(App, { target, props: { app: await (await open()).openApp() } });
