/** The real live state without views, within a test's reach. Only tests open this. */
import { Live } from '../../../web/state/live.svelte';

declare global {
  interface Window {
    live: Live;
  }
}
window.live = new Live();
