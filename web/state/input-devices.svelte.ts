/** The machine's sound inputs: which there are, and which one went away in mid-use. Opens none. */
import type { LiveState } from './contracts';

export class InputDevices {
  #list = $state.raw<LiveState['devices']>([]);
  #goneId: string | null = null;

  get list(): LiveState['devices'] {
    return this.#list;
  }

  /** Asks what there is; labels are told once listening is allowed. */
  async look(): Promise<void> {
    const all = (await navigator.mediaDevices?.enumerateDevices().catch(() => [])) ?? [];
    this.#list = all
      .filter(({ kind, deviceId }) => kind === 'audioinput' && deviceId !== 'communications')
      .map(({ deviceId, label }, i) => ({ id: deviceId, label: label || `Sound input ${i + 1}` }));
  }

  /** One was listened to and is gone; null: it is not known which. */
  gone(deviceId: string | null): void {
    this.#goneId = deviceId;
  }

  /** The device that went away and is there again, told once; null where there is none. */
  takeBack(): string | null {
    const id = this.#goneId;
    if (id === null || !this.#list.some((device) => device.id === id)) return null;
    this.#goneId = null;
    return id;
  }
}
