/** What a help says, and where it comes from. Words only. */

export interface HelpText {
  readonly title: string;
  readonly what: string;
  readonly why: string;
  /** Empty where nothing is usual. */
  readonly usual: string;
  readonly source: string;
}

export const PRACTICE = 'From common practice in the trade. The engine maker’s data comes first.';
export const GEOMETRY = 'A matter of geometry: it can be worked out by hand.';
