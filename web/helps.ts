/** The short helps that stand beside figures and questions, a file for each view: what it is, why it matters, what is
 * usual, and where that comes from. */
import { CHECKS_HELPS } from './helps/checks';
import { ENGINE_HELPS } from './helps/engine';
import type { HelpText } from './helps/help-text';
import { LOG_HELPS } from './helps/log';
import { PARTS_HELPS } from './helps/parts';
import { RESULT_HELPS } from './helps/result';
import { RUN_HELPS } from './helps/run';
import { SOUND_HELPS } from './helps/sound';

export type { HelpText };

export const HELPS = {
  ...ENGINE_HELPS,
  ...SOUND_HELPS,
  ...RUN_HELPS,
  ...RESULT_HELPS,
  ...CHECKS_HELPS,
  ...PARTS_HELPS,
  ...LOG_HELPS,
} as const satisfies Record<string, HelpText>;

export type HelpKey = keyof typeof HELPS;
