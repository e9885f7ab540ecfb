/** Short tones for someone who looks at the mark and not at the screen: two rising notes when the speed is steady at
 * the step, one low note when it has left, one high when a moment is pinned, two of the same when a reading is stored. Through the system's own output; the line input does not hear it. */

export type Sign = 'steady' | 'left' | 'pinned' | 'stored';

/** What gives a sign: by ear, by hand. */
export interface SignGiver {
  give(sign: Sign): void;
}

interface Note {
  readonly frequencyHz: number;
  readonly startS: number;
  readonly lengthS: number;
}

const NOTES: Readonly<Record<Sign, readonly Note[]>> = {
  steady: [
    { frequencyHz: 880, startS: 0, lengthS: 0.12 },
    { frequencyHz: 1320, startS: 0.14, lengthS: 0.2 },
  ],
  left: [{ frequencyHz: 330, startS: 0, lengthS: 0.25 }],
  pinned: [{ frequencyHz: 1760, startS: 0, lengthS: 0.06 }],
  stored: [
    { frequencyHz: 660, startS: 0, lengthS: 0.07 },
    { frequencyHz: 660, startS: 0.11, lengthS: 0.07 },
  ],
};
const LOUDNESS = 0.4;
const EDGE_S = 0.01; // a softened edge does not click

export class SteadySign implements SignGiver {
  #context: AudioContext | null = null;
  readonly #make: () => AudioContext;

  /** @param make makes the output when the first sign is given, after a tap or key press has allowed it */
  constructor(make: () => AudioContext = () => new AudioContext()) {
    this.#make = make;
  }

  give(sign: Sign): void {
    this.#context ??= this.#make();
    if (this.#context.state === 'suspended') void this.#context.resume().catch(() => undefined);
    for (const note of NOTES[sign]) this.#play(this.#context, note);
  }

  #play(context: AudioContext, { frequencyHz, startS, lengthS }: Note): void {
    const start = context.currentTime + startS;
    const tone = new OscillatorNode(context, { frequency: frequencyHz });
    const gain = new GainNode(context, { gain: 0 });
    gain.gain.setValueAtTime(0, start);
    gain.gain.linearRampToValueAtTime(LOUDNESS, start + EDGE_S);
    gain.gain.setValueAtTime(LOUDNESS, start + lengthS - EDGE_S);
    gain.gain.linearRampToValueAtTime(0, start + lengthS);
    tone.connect(gain).connect(context.destination);
    tone.start(start);
    tone.stop(start + lengthS);
  }
}
