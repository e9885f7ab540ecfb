/** Help on runs side by side. */
import type { HelpText } from './help-text';

export const LOG_HELPS = {
  sideBySide: {
    title: 'Runs side by side',
    what: 'How far each figure moved from one run to the other, with the interval that holds the true change in 95 of 100 cases.',
    why: 'Two runs never agree to the last degree: only a change larger than its interval is more than chance.',
    usual: 'One change between two runs. If two things were changed, nobody can tell which of them did it.',
    source: 'Both runs’ own readings; their scatter gives the interval.',
  },
} as const satisfies Record<string, HelpText>;
