/** Opens a sound input as it is and joins it to the analysis worker by a port; says when it goes away. No sample is
 * seen here: blocks go from the audio thread straight through the port. */
import workletUrl from './capture.worklet.ts?worker&url';
import type { InputFacts } from '../state/contracts';
import { inputFacts, lineConstraints } from './input-facts';

/** 'broken': the audio thread's part has thrown and gives no more sound. */
export type InputEvent = 'ended' | 'broken' | 'suspended' | 'running' | 'muted' | 'unmuted';

export interface LineInput {
  readonly facts: InputFacts;
  readonly deviceId: string | null;
  /** A port out of which SoundBlocks come from now on, to be handed on to the worker; the one before falls silent. */
  newPort(): MessagePort;
  /** Wakes a suspended context; works from a tap or key press. */
  resume(): Promise<void>;
  /** Frames that the system dropped before the page could get them; null where the browser does not say. */
  droppedFrames(): number | null;
  /** Lets go of the device. */
  close(): Promise<void>;
}

/** @param deviceId null: the browser's default input
 *  @throws DOMException of getUserMedia, named as the Media Capture standard has it; SecurityError where the page may
 *  not use inputs at all */
export async function openLineInput(
  deviceId: string | null,
  onEvent: (event: InputEvent) => void,
): Promise<LineInput> {
  // not there in an insecure page, whatever the types say
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  if (!devices) throw new DOMException('no access to inputs', 'SecurityError');
  const stream = await devices.getUserMedia({ audio: lineConstraints(deviceId) });
  const track = stream.getAudioTracks()[0]!;
  const context = contextAt(track.getSettings().sampleRate);
  try {
    await context.audioWorklet.addModule(workletUrl);
    return joined(stream, track, context, onEvent);
  } catch (error) {
    track.stop();
    await context.close();
    throw error;
  }
}

/** At the track's own rate, or else at the browser's: a resampled line is better than none, and is said. */
function contextAt(sampleRate: number | undefined): AudioContext {
  try {
    return new AudioContext({ latencyHint: 'interactive', ...(sampleRate ? { sampleRate } : {}) });
  } catch {
    return new AudioContext({ latencyHint: 'interactive' });
  }
}

function joined(
  stream: MediaStream,
  track: MediaStreamTrack,
  context: AudioContext,
  onEvent: (event: InputEvent) => void,
): LineInput {
  const node = new AudioWorkletNode(context, 'capture', {
    numberOfOutputs: 0, // so that it runs without being connected to the speakers
    channelCountMode: 'max',
    channelInterpretation: 'discrete',
  });
  context.createMediaStreamSource(stream).connect(node);
  let closed = false;
  const tell = (event: InputEvent): void => {
    if (!closed) onEvent(event);
  };
  track.onended = () => tell('ended');
  node.onprocessorerror = () => tell('broken'); // Chromium tells no listener that was added by name
  track.onmute = () => tell('muted');
  track.onunmute = () => tell('unmuted');
  context.onstatechange = () => tell(context.state === 'running' ? 'running' : 'suspended');
  if (context.state !== 'running') void context.resume().catch(() => undefined); // else it waits for a tap
  const settings = track.getSettings();
  return {
    facts: inputFacts(track.label, settings, context.sampleRate),
    deviceId: settings.deviceId ?? null,
    newPort() {
      const { port1, port2 } = new MessageChannel();
      node.port.postMessage({ port: port2 }, [port2]);
      return port1;
    },
    resume: () => context.resume(),
    droppedFrames: () => droppedFrames(track),
    async close() {
      closed = true;
      track.stop();
      await context.close();
    },
  };
}

/** @source W3C Media Capture Extensions: MediaStreamTrackAudioStats, total less delivered frames */
function droppedFrames(track: MediaStreamTrack): number | null {
  const { stats } = track as MediaStreamTrack & {
    readonly stats?: { readonly deliveredFrames?: number; readonly totalFrames?: number };
  };
  if (stats?.deliveredFrames === undefined || stats.totalFrames === undefined) return null;
  return Math.max(0, stats.totalFrames - stats.deliveredFrames);
}
