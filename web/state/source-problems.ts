/** What stands in the way of listening, each said once as a sentence with a way on. Events of source and analysis in. */
import {
  crashText,
  inputProblemText,
  mutedText,
  repeatsText,
  stalledText,
  suspendedText,
  unheardText,
} from '../audio/input-problems';
import type { InputEvent } from '../audio/line-input';
import type { Problem } from './contracts';
import { Problems } from './problems.svelte';

type Kind = 'source' | 'suspended' | 'muted' | 'stalled' | 'repeats' | 'unheard' | 'keeping' | 'crash';

export interface WaysOn {
  /** Listens to the same source anew. */
  readonly again: () => void;
  /** Wakes what the browser holds back. */
  readonly wake: () => void;
}

export class SourceProblems {
  readonly #problems = new Problems<Kind>();
  readonly #ways: WaysOn;

  constructor(ways: WaysOn) {
    this.#ways = ways;
  }

  get top(): Problem | null {
    return this.#problems.top;
  }
  get isStalled(): boolean {
    return this.#problems.has('stalled');
  }
  get isSuspended(): boolean {
    return this.#problems.has('suspended');
  }
  clearAll(): void {
    this.#problems.clearAll();
  }

  /** An input that could not be opened. */
  refused(error: unknown): void {
    this.#problems.say('source', inputProblemText(error), { label: 'Try again', act: this.#ways.again });
  }

  /** Blocks stopped coming, or come again; silent where that is explained already. */
  stalled(isStalled: boolean): void {
    const isExplained = this.isSuspended || this.#problems.has('muted');
    if (!isStalled || isExplained) this.#problems.clear('stalled');
    else if (!this.isStalled) this.#listenAgain('stalled', stalledText);
  }

  /** The input gives the same stretch over and over, or sound again. */
  repeats(isRepeating: boolean): void {
    if (!isRepeating) this.#problems.clear('repeats');
    else if (!this.#problems.has('repeats')) this.#listenAgain('repeats', repeatsText);
  }

  /** What a source that still lives tells. */
  inputSaid(event: Exclude<InputEvent, 'ended' | 'broken'>): void {
    if (event === 'suspended')
      this.#problems.say('suspended', suspendedText, { label: 'Listen', act: this.#ways.wake });
    else if (event === 'running') this.#problems.clear('suspended');
    else if (event === 'muted') this.#listenAgain('muted', mutedText);
    else this.#problems.clear('muted');
  }

  sourceEnded(text: string): void {
    this.clearAll();
    this.#listenAgain('source', text);
  }

  unheard = (seconds: number): void => this.#problems.tell('unheard', unheardText(seconds));
  fileSaid = (text: string): void => this.#problems.tell('source', text);
  keepingRefused = (text: string): void => this.#problems.tell('keeping', text);
  crashed = (words: string): void => this.#problems.tell('crash', crashText(words));

  #listenAgain(kind: Kind, text: string): void {
    this.#problems.say(kind, text, { label: 'Listen again', act: this.#ways.again });
  }
}
