/** Audio thread: copies the input's channels into recycled blocks, stamps them and posts them to the analysis worker.
 * process() computes nothing and allocates only the message itself; no block spans a
 * gap. */
import type { SoundBlock } from '../worker/sound-block';

const BLOCK_FRAMES = 1024; // a multiple of the 128-frame render quantum; 21 ms at 48 kHz
const BUFFERS = 256; // 2.7 s of stereo at 48 kHz may wait for a busy worker
type Buffer = Float32Array<ArrayBuffer>;

class CaptureProcessor extends AudioWorkletProcessor {
  #free: Buffer[] = [];
  #channels: Buffer[] = [];
  #filled = 0;
  #toWorker: MessagePort | undefined;

  constructor() {
    super();
    this.port.onmessage = ({ data: { port } }: MessageEvent<{ port: MessagePort }>) => {
      this.#drop();
      // made anew for each listener: those that a dead one held are gone
      const free = (this.#free = Array.from({ length: BUFFERS }, () => new Float32Array(BLOCK_FRAMES)));
      port.onmessage = ({ data }: MessageEvent<Buffer[]>) => free.push(...data);
      this.#toWorker = port;
    };
  }

  process([input]: Float32Array[][]): boolean {
    if (!input?.[0] || !this.#toWorker) return this.#drop(); // nothing is connected, or no one listens
    if (this.#channels.length !== input.length) this.#drop();
    if (this.#channels.length === 0 && !this.#take(input.length)) return true;
    for (let c = 0; c < input.length; c++) this.#channels[c]!.set(input[c]!, this.#filled);
    this.#filled += input[0].length;
    if (this.#filled >= BLOCK_FRAMES) this.#post(this.#toWorker, currentFrame + input[0].length);
    return true;
  }

  #take(count: number): boolean {
    if (this.#free.length < count) return false; // the frames are lost, and the next stamp shows it
    while (this.#channels.length < count) this.#channels.push(this.#free.pop()!);
    return true;
  }

  #drop(): true {
    if (this.#channels.length === 0) return true;
    this.#free.push(...this.#channels);
    this.#channels = [];
    this.#filled = 0;
    return true;
  }

  #post(toWorker: MessagePort, endFrame: number): void {
    const block: SoundBlock = { endFrame, atMs: Date.now(), channels: this.#channels };
    toWorker.postMessage(
      block,
      this.#channels.map(({ buffer }) => buffer),
    );
    this.#channels = [];
    this.#filled = 0;
  }
}

registerProcessor('capture', CaptureProcessor);
