/** What stands in the way just now: problems by kind, the latest on top. */
import type { Problem } from './contracts';

export class Problems<Kind extends string> {
  #list = $state.raw<readonly { readonly kind: Kind; readonly problem: Problem }[]>([]);

  /** The latest; null where all is well. */
  get top(): Problem | null {
    return this.#list.at(-1)?.problem ?? null;
  }

  has(kind: Kind): boolean {
    return this.#list.some((entry) => entry.kind === kind);
  }

  /** Says it, in place of what was said of this kind before. */
  say(kind: Kind, text: string, wayOn: Problem['wayOn'] = null): void {
    this.#list = [...this.#others(kind), { kind, problem: { text, wayOn } }];
  }

  /** Says it until the person has seen it. */
  tell(kind: Kind, text: string): void {
    this.say(kind, text, { label: 'Go on', act: () => this.clear(kind) });
  }

  clear(kind: Kind): void {
    if (this.has(kind)) this.#list = this.#others(kind);
  }

  clearAll(): void {
    this.#list = [];
  }

  #others(kind: Kind): { readonly kind: Kind; readonly problem: Problem }[] {
    return this.#list.filter((entry) => entry.kind !== kind);
  }
}
