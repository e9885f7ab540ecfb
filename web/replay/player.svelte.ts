/** Plays one stretch of sound and tells where it is, in the trace's time. Owns the output; knows no run. */

export class Player {
  /** The trace's time that is heard now; null while nothing plays. */
  #atS: number | null = $state(null);
  #context: AudioContext | null = null;
  #source: AudioBufferSourceNode | null = null;
  #frame = 0;

  get atS(): number | null {
    return this.#atS;
  }

  /** The output, opened at the first call, which must follow a tap or key press. */
  get context(): AudioContext {
    this.#context ??= new AudioContext();
    if (this.#context.state === 'suspended') void this.#context.resume().catch(() => undefined);
    return this.#context;
  }

  /** Samples as a buffer to play. @param samples of one channel, full scale 1 */
  buffer(samples: Float32Array<ArrayBuffer>, sampleRateHz: number): AudioBuffer {
    const buffer = new AudioBuffer({ length: samples.length, sampleRate: sampleRateHz });
    buffer.copyToChannel(samples, 0);
    return buffer;
  }

  /** Plays from the start, in place of what plays. @param fromS the trace's time at its first sample */
  play(buffer: AudioBuffer, fromS: number): void {
    this.stop();
    const { context } = this;
    const source = new AudioBufferSourceNode(context, { buffer });
    source.connect(context.destination);
    source.onended = () => {
      if (source === this.#source) this.stop();
    };
    const startedS = context.currentTime;
    source.start();
    this.#source = source;
    const follow = (): void => {
      this.#atS = fromS + Math.min(buffer.duration, Math.max(0, context.currentTime - startedS));
      this.#frame = requestAnimationFrame(follow);
    };
    follow();
  }

  stop(): void {
    cancelAnimationFrame(this.#frame);
    this.#source?.stop();
    this.#source = null;
    this.#atS = null;
  }

  close(): void {
    this.stop();
    void this.#context?.close().catch(() => undefined);
    this.#context = null;
  }
}
