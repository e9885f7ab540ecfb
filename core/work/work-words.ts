/** Words that more than one step uses. */

export const RUN_AGAIN =
  'After a change, run again from idle to past the all-in speed: only readings tick a step.';
