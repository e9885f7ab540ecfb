/** One block of sound from a source (worklet or practice engine) to the worker, by MessagePort. The worker posts the
 * channel buffers back to be filled again. */
export interface SoundBlock {
  /** Frame number after this block's last frame: a jump shows lost frames. */
  readonly endFrame: number;
  /** The source's clock when the block was full, milliseconds since 1970: a jump without lost frames shows that the
   * machine or the context slept. */
  readonly atMs: number;
  /** One array a channel, full scale ±1. */
  readonly channels: Float32Array<ArrayBuffer>[];
}
