/** Runs the practice engine in real time: the clock in, its sound in blocks to a port out. What a sleeping machine
 * missed is not made up for: the engine stood still with it. */
import { practiceMechanism } from '../../core/practice/practice-distributor';
import {
  createPracticeEngine,
  type PracticeEngine,
  type PracticeState,
} from '../../core/practice/practice-engine';
import type { SoundBlock } from '../worker/sound-block';
import type { PracticeApi, PracticeSetUp } from './practice-api';

const EVERY_MS = 10;
const BLOCK_FRAMES = 512;
const MOST_BEHIND_S = 0.5;

export class PracticeBench implements PracticeApi {
  #engine: PracticeEngine | null = null;
  #setUp: PracticeSetUp | null = null;
  #blocks: MessagePort | null = null;
  #frames = 0;
  /** What the clock showed when frame 0 was due, milliseconds. */
  #startMs = 0;

  constructor() {
    setInterval(() => this.#catchUp(), EVERY_MS);
  }

  start(setUp: PracticeSetUp): void {
    this.#setUp = setUp;
    this.#engine = createPracticeEngine({
      sampleRateHz: setUp.sampleRateHz,
      seed: setUp.seed,
      distributor: practiceMechanism(setUp.springsId, setUp.stopId, setUp.engine.strokes),
      engine: setUp.engine,
      housingDeg: setUp.housingDeg,
      hasSensor: setUp.engine.crankSensor !== null,
    });
    this.#frames = 0;
    this.#startMs = performance.now();
  }

  sendTo(blocks: MessagePort): void {
    this.#blocks?.close();
    this.#blocks = blocks;
  }

  setThrottle(share: number): void {
    this.#engine?.setThrottle(share);
  }
  setHousing(deg: number): void {
    this.#engine?.setHousing(deg);
  }
  fit(springsId: string, stopId: string): void {
    this.#engine?.fit(practiceMechanism(springsId, stopId, this.#setUp?.engine.strokes));
  }
  holdSpeed(rpm: number | null): void {
    this.#engine?.holdSpeed(rpm);
  }
  state(): PracticeState | null {
    return this.#engine?.state() ?? null;
  }

  #catchUp(): void {
    if (!this.#setUp) return;
    const { sampleRateHz } = this.#setUp;
    const behind = ((performance.now() - this.#startMs) * sampleRateHz) / 1000 - this.#frames;
    if (behind > MOST_BEHIND_S * sampleRateHz) this.#startMs += (behind / sampleRateHz) * 1000;
    else for (let left = behind; left >= BLOCK_FRAMES; left -= BLOCK_FRAMES) this.#send(sampleRateHz);
  }

  #send(sampleRateHz: number): void {
    const channels = this.#engine!.render(BLOCK_FRAMES);
    this.#frames += BLOCK_FRAMES;
    const atMs = (this.#frames / sampleRateHz) * 1000; // its own clock, which stands when it does
    const block: SoundBlock = { endFrame: this.#frames, atMs, channels };
    this.#blocks?.postMessage(
      block,
      channels.map(({ buffer }) => buffer),
    );
  }
}
