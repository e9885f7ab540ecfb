/** Pages whose threads can be made to die: each analysis thread and audio node is noted as the page makes it, and the audio
 * thread's part throws when it is told to. The page must be opened past its content policy, which would refuse a module of
 * the test's own for the audio thread. */
import type { Page } from 'playwright-core';

export interface Threads {
  /** Analysis threads and audio nodes in the order in which they were made, and when, milliseconds. */
  readonly workers: Worker[];
  readonly nodes: AudioWorkletNode[];
  readonly madeMs: number[];
}

declare global {
  interface Window {
    threads: Threads;
  }
}

/** In front of the audio thread's part: what it registers throws once it is told to by `{ throw: true }`. */
const THROWS_WHEN_TOLD = `
  const register = globalThis.registerProcessor;
  globalThis.registerProcessor = (name, Processor) => register(name, class extends Processor {
    #isTold = false;
    constructor(options) {
      super(options);
      this.port.addEventListener('message', ({ data }) => (this.#isTold ||= data.throw === true));
    }
    process(...given) {
      if (this.#isTold) throw new Error('made by the test');
      return super.process(...given);
    }
  });`;

/** Before the page is opened: what is noted stands in `window.threads`. */
export async function noteThreads(page: Page): Promise<void> {
  await page.addInitScript(inPage, THROWS_WHEN_TOLD);
}

function inPage(throwsWhenTold: string): void {
  const threads: Threads = { workers: [], nodes: [], madeMs: [] };
  window.threads = threads;
  window.Worker = class extends Worker {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      if (options?.name !== 'analysis') return;
      threads.workers.push(this);
      threads.madeMs.push(performance.now());
    }
  };
  const addModule = AudioWorklet.prototype.addModule;
  AudioWorklet.prototype.addModule = async function (url, options) {
    const front = new Blob([throwsWhenTold], { type: 'text/javascript' });
    await addModule.call(this, URL.createObjectURL(front));
    await addModule.call(this, url, options);
  };
  window.AudioWorkletNode = class extends AudioWorkletNode {
    constructor(context: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(context, name, options);
      threads.nodes.push(this);
      threads.madeMs.push(performance.now());
    }
  };
}
