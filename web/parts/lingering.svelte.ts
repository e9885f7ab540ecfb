/** Something that goes a frame later than it ends, so that what ended it is drawn first. */
import { untrack } from 'svelte';
import { afterFrame } from '../after-frame';

/** @param source null: it has ended @returns the source's value; once that is null, for one more frame the value before */
export function lingering<Value>(source: () => Value | null): { readonly now: Value | null } {
  let held = $state.raw(untrack(source));
  const now = $derived(source() ?? held);
  const letGo = (): void => {
    if (source() === null) held = null;
  };
  $effect.pre(() => {
    const value = source();
    if (value !== null) held = value;
    else if (untrack(() => held) !== null) afterFrame(letGo);
  });
  return {
    get now() {
      return now;
    },
  };
}
