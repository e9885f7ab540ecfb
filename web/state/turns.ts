/** Lets acts that take time happen one after the other, in the order asked for: none starts before the last is over. */
export class Turns {
  #last: Promise<unknown> = Promise.resolve();

  /** @returns what the act gives or throws */
  take<T>(act: () => Promise<T>): Promise<T> {
    const mine = this.#last.then(act);
    this.#last = mine.catch(() => undefined);
    return mine;
  }
}
