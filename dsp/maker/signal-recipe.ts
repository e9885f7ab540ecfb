/** The recipe for a made signal, as plain data in seconds and hertz, and the recipe that adds nothing. */
import type { PulseShape } from './strike-shape';

/** Something that happened at an instant. Every voice that listens to its source sounds. */
export interface Impulse {
  /** Seconds by true time. */
  readonly timeS: number;
  readonly source: number;
  /** Times the voice's amplitude; 1 where not said. */
  readonly scale?: number;
  /** false: the spark goes out unheard, as between repeated strikes. */
  readonly kicks?: boolean;
}

/** The second kick, when the spark goes out. */
export interface KickRecipe {
  /** Share of the strike, either sign. */
  readonly share: number;
  readonly delayS: number;
  /** Standard deviation of share and delay from strike to strike, as a share of themselves. */
  readonly scatter: number;
}

/** How a channel hears one source. */
export interface VoiceRecipe {
  readonly source: number;
  readonly shape: PulseShape;
  /** Peak, as a share of full scale; either sign. */
  readonly amplitude: number;
  readonly kick: KickRecipe | null;
}

export interface StrayRecipe {
  readonly perSecond: number;
  /** Peaks are spread evenly between the two; either sign. */
  readonly lowestAmplitude: number;
  readonly highestAmplitude: number;
}

export interface ToneRecipe {
  /** Amplitude of the tone and its harmonics, fundamental first, share of full scale. */
  readonly amplitudes: readonly number[];
  /** Cycles of the fundamental since the start. */
  readonly cyclesAt: (timeS: number) => number;
}

export interface HumRecipe {
  readonly frequencyHz: number;
  /** Amplitude of the hum and its harmonics, fundamental first, share of full scale. */
  readonly amplitudes: readonly number[];
}

/** A gain control that pumps: between 0 and `depthDb` down, about `rateHz` times a second. */
export interface PumpingRecipe {
  readonly depthDb: number;
  readonly rateHz: number;
}

export interface ChannelRecipe {
  readonly voices: readonly VoiceRecipe[];
  readonly hum: HumRecipe | null;
  readonly whine: ToneRecipe | null;
  readonly strays: StrayRecipe | null;
  /** Corner of the AC coupling; null: coupled through. */
  readonly acCouplingHz: number | null;
  /** Standard deviation of the white noise, share of full scale. */
  readonly noiseSd: number;
  readonly pumping: PumpingRecipe | null;
  readonly inverted: boolean;
}

export interface LostRecipe {
  readonly perMinute: number;
  readonly shortestS: number;
  readonly longestS: number;
}

export interface SignalRecipe {
  /** What the file says; the clock runs fast by `clockPpm` of it. */
  readonly sampleRateHz: number;
  readonly clockPpm: number;
  readonly bits: 16 | 24 | null;
  readonly seed: number;
  /** Standard deviation of an impulse's size, as a share of it; cut at two of them. */
  readonly amplitudeScatter: number;
  readonly channels: readonly ChannelRecipe[];
  readonly lost: LostRecipe | null;
}

/** A strike in the middle of what clamps give. */
export const PLAIN_STRIKE = {
  kind: 'strike',
  riseS: 5e-6,
  fallS: 40e-6,
  ringHz: 6000,
  ringShare: 0.4,
  ringDecayS: 0.3e-3,
} as const;

/** A channel that hears source 0 as a plain strike and nothing else. */
export const PLAIN_CHANNEL: ChannelRecipe = {
  voices: [{ source: 0, shape: PLAIN_STRIKE, amplitude: 0.5, kick: null }],
  hum: null,
  whine: null,
  strays: null,
  acCouplingHz: null,
  noiseSd: 0,
  pumping: null,
  inverted: false,
};

/** One plain channel at 48 kHz, not rounded to any bits. */
export const PLAIN_RECIPE: SignalRecipe = {
  sampleRateHz: 48_000,
  clockPpm: 0,
  bits: null,
  seed: 1,
  amplitudeScatter: 0,
  channels: [PLAIN_CHANNEL],
  lost: null,
};
