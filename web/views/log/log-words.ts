/** The log's words on screen. */
import type { LogEntry } from '../../../core/job';

export const ENTRY_WORDS: Readonly<Record<LogEntry['kind'], string>> = {
  road: 'On the road',
  strip: 'On the strip',
  work: 'Work done',
  note: 'Note',
};
