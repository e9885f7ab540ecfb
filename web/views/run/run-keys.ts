/** What a key means during a run. A key event's facts in, the act out; null leaves the key to the browser. */
import type { PadKey } from './pad-entry';

export type Act =
  { do: 'pin' } | { do: 'type'; key: PadKey } | { do: 'take' } | { do: 'cancel' } | { do: 'undo' };

export interface KeyFacts {
  readonly key: string;
  readonly ctrl: boolean;
  readonly shift: boolean;
  readonly alt: boolean;
  /** The key is held down and repeats. */
  readonly repeat: boolean;
  /** What has the focus: a field takes letters, a control its own keys, a button only Enter. */
  readonly focus: 'field' | 'control' | 'button' | 'pin button' | 'nothing';
  /** The pad is open. */
  readonly asking: boolean;
}

const PIN_KEYS = new Set([' ', 'PageDown', 'PageUp']); // the page keys are a presenter remote's
const PAD_KEYS: Readonly<Record<string, PadKey>> = {
  ',': '.',
  '.': '.',
  '-': '-',
  '\u2212': '-',
  Backspace: 'delete',
};

const padKey = (key: string): PadKey | null => (/^\d$/.test(key) ? (key as PadKey) : (PAD_KEYS[key] ?? null));

/** Space and the page keys pin whatever has the focus, so that a button tapped before is never pressed again by them;
 * Enter stays with a focused button, so that every button can be worked by keyboard. */
export function actOf(facts: KeyFacts): Act | null {
  const { key, focus, asking } = facts;
  if (focus === 'field') return null;
  if (facts.ctrl) return key.toLowerCase() === 'z' && !facts.shift && !facts.alt ? { do: 'undo' } : null;
  if (facts.alt) return null;
  if (PIN_KEYS.has(key) && focus !== 'control') return { do: 'pin' };
  if (asking) {
    const typed = padKey(key);
    if (typed && focus !== 'control') return { do: 'type', key: typed };
    if (key === 'Escape') return { do: 'cancel' };
  }
  if (key !== 'Enter' || focus === 'button' || focus === 'control') return null;
  return { do: asking ? 'take' : 'pin' };
}

/** @param asking the pad is open */
export function keyFacts(event: KeyboardEvent, asking: boolean): KeyFacts {
  return {
    key: event.key,
    ctrl: event.ctrlKey || event.metaKey,
    shift: event.shiftKey,
    alt: event.altKey,
    repeat: event.repeat,
    focus: focusOf(event.target), // a field that this very key closed is no longer the active element
    asking,
  };
}

/** What has the focus, as far as keys are concerned. */
export function focusOf(element: EventTarget | null): KeyFacts['focus'] {
  if (!(element instanceof Element) || element === document.body) return 'nothing';
  if (element.closest('[data-pin]')) return 'pin button';
  if (element.matches('textarea, select, [contenteditable]')) return 'field';
  if (element instanceof HTMLInputElement)
    return ['checkbox', 'radio', 'range', 'button', 'file'].includes(element.type) ? 'control' : 'field';
  if (element.matches('summary, [role="slider"], [role="tab"]')) return 'control';
  return element.matches('button, a[href]') ? 'button' : 'nothing';
}
