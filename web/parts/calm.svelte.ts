/** A figure that changes at every frame, calmed down for reading: taken over a few times a second. */

/** @param source read at each tick @param everyMs milliseconds between ticks @returns the value last taken over */
export function calm<Value>(source: () => Value, everyMs = 250): { readonly now: Value } {
  let now = $state.raw(source());
  $effect(() => {
    const timer = setInterval(() => {
      now = source();
    }, everyMs);
    return () => clearInterval(timer);
  });
  return {
    get now() {
      return now;
    },
  };
}
