/** What went wrong with a sound input, in: an error's name; out: a plain sentence that says what to do. */

const SENTENCES: Readonly<Record<string, string>> = {
  NotAllowedError:
    'The browser was not allowed to listen. Allow the microphone for this page (the sign beside its address), then try again.',
  SecurityError: 'Sound is closed to this page. Open it at http://127.0.0.1 or over https.',
  NotFoundError: 'No sound input was found. Plug the sound interface in, then try again.',
  NotReadableError:
    'The sound input gives no sound: another program may hold it. Close that program or plug the interface in again, then try again.',
  AbortError: 'The sound input stopped while it was being opened. Try again.',
  OverconstrainedError: 'The chosen sound input is no longer there. Plug it in again or choose another.',
};

/** @param error what opening an input threw @returns a sentence for the person at the engine */
export function inputProblemText(error: unknown): string {
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  const known = SENTENCES[name];
  if (known) return known;
  const detail = error instanceof Error ? error.message : String(error);
  return `The sound input could not be opened (${detail}). Try again or choose another.`;
}

/** @param seconds how long nothing was heard */
export const unheardText = (seconds: number): string =>
  `Nothing was heard for ${durationText(seconds)}: the machine or the page slept. The trace shows the gap.`;

/** A duration in words for a sentence: "1.4 s", "12 s", "3 min 5 s". */
export function durationText(seconds: number): string {
  if (seconds < 10) return `${seconds.toFixed(1)} s`;
  const whole = Math.round(seconds);
  return whole < 60 ? `${whole} s` : `${Math.floor(whole / 60)} min ${whole % 60} s`;
}

export const suspendedText = 'The browser holds the sound back until the page is touched. Touch to listen.';
export const mutedText =
  'The system has muted the sound input. Unmute it in the system or plug the interface in again.';
export const stalledText = 'No sound arrives from the input. Look at its plug and lead, then listen again.';
export const repeatsText =
  'The sound input gives the same few milliseconds over and over: its driver hangs. What was heard is kept. Unplug it and plug it in again, then listen again.';
export const unpluggedText = (label: string): string =>
  `The sound input “${label}” is gone: it was unplugged or switched off. What was heard is kept. Plug it in again to go on.`;
export const crashText = (message: string): string =>
  `The listening part of the page stopped (${message}) and was started again. What was heard is kept; the trace shows the gap.`;
