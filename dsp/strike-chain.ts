/** The streaming chain: samples of one channel in, accepted strikes with the rate at each out. One thread, no clock:
 * the same samples give the same strikes whatever the block size, live or from a file. */
import type { Closing } from './closing/closing';
import type { PulseSpeed } from './sound/condition';
import type { FollowState, NoRateReason } from './follow-state';

export interface ChainOptions {
  readonly sampleRateHz: number;
  /** Strike rates that can be, hertz. */
  readonly lowestRateHz: number;
  readonly highestRateHz: number;
  /** After so many strikes heights and intervals may repeat, 1 to 24: 1 (where not said) for a lead that fires evenly. */
  readonly patternLength?: number;
  /** A strike may be repeated over this share of the mean interval; only the first counts. 0.03 where not said. */
  readonly repeatShare?: number;
  /** The sharp strike of a clamp (where not said) or the slow pulse of a crank sensor. */
  readonly pulses?: PulseSpeed;
  /** Between strikes an impulse is looked for that keeps to its share of the way. */
  readonly seeksClosing?: boolean;
}

/** One accepted strike. The chain hands over the same object each time: copy what is kept. */
export interface Strike {
  /** Seconds since the first sample, lost samples counted. */
  timeS: number;
  /** Peak, as a share of full scale. */
  amplitude: number;
  /** Causal rate at this strike; null until one is known. */
  rateHz: number | null;
  /** Standard deviation of rateHz, hertz. */
  rateSdHz: number | null;
  state: FollowState;
}

export interface SignalReport {
  readonly state: FollowState;
  readonly reason: NoRateReason | null;
  /** Peak and root mean square of the last second, share of full scale. */
  readonly peak: number;
  readonly rms: number;
  /** Share of the last second's samples that stand at full scale. */
  readonly clippedShare: number;
  /** Amplitude of the mains hum in the last second, share of full scale, and which; null where none stands out. */
  readonly humAmplitude: number | null;
  readonly humHz: 50 | 60 | null;
  /** A steady tone stands in the sound, hum or whine; null before there was enough of it. */
  readonly steadyTone: boolean | null;
  /** Typical strike over the noise beside it, decibels; null before strikes are seen. */
  readonly strikeToNoiseDb: number | null;
  /** Counts since the start. */
  readonly strikes: number;
  readonly missed: number;
  readonly setAside: number;
  readonly lostSamples: number;
  /** How often the beat jumped as it does where sound vanishes unseen, and what vanished at least, seconds. */
  readonly slips: number;
  readonly slippedS: number;
}

/** What the strikes look like by now, for the eye. A snapshot: made anew each time it is asked for. */
export interface SignalPicture {
  /** The learnt strike, its peak 1 or -1, evenly spaced. */
  readonly shape: Float32Array;
  readonly pointsPerS: number;
  /** From the first point to where the shape was aligned, seconds. */
  readonly alignedAtS: number;
  /** Root mean square of what strikes have beside the shape, as a share of its peak: noise and change. */
  readonly restShare: number;
  /** At each point of the shape, the standard deviation of single strikes brought to one height, share of its peak. */
  readonly scatter: Float32Array;
  /** Least standard deviation with which such a strike can be timed in what is beside the shape, seconds. */
  readonly timingS: number;
  /** Of the strikes due since the start, the share that did not come. */
  readonly missedShare: number;
  /** Impulses set aside, tall enough for a strike, for each strike since the start. */
  readonly setAsideShare: number;
  /** Of the last strikes; null before a dozen. */
  readonly recent: RecentFigures | null;
}

/** What the last strikes, two hundred at most, have in common. */
export interface RecentFigures {
  readonly strikes: number;
  /** Due among them but did not come, and the most in a row. */
  readonly missed: number;
  readonly mostMissed: number;
  /** Of the strikes, those with a sample at full scale. */
  readonly clipped: number;
  /** Usual height, share of full scale. */
  readonly height: number;
  /** Standard deviation of heights from strike to strike, share of the usual one. */
  readonly heightScatter: number;
  /** How far heights swing slowly besides, from the lowest to the highest, decibels. */
  readonly swingDb: number;
  /** Height that one strike in twenty stays below, by the usual one. */
  readonly smallestShare: number;
  /** The tallest other lead by the strike; null: none seen. */
  readonly neighbourShare: number | null;
  /** Whether there were enough strikes to tell other leads from strays; before, neither is counted. */
  readonly knowsNeighbours: boolean;
  /** Impulses half as tall as a strike or more that are neither strike, kick, ringing nor another lead. */
  readonly strays: number;
}

export interface StrikeChain {
  /** @param samples one channel, full scale ±1, any length */
  push(samples: Float32Array): void;
  /** Samples that never came: time goes on. */
  lose(samples: number): void;
  /** No more comes: what waits for later samples is decided now. */
  finish(): void;
  report(): SignalReport;
  /** @returns null where none is looked for */
  closing(): Closing | null;
  /** @returns null before a beat was followed */
  picture(): SignalPicture | null;
  /** Seconds of signal so far, lost samples counted. */
  readonly timeS: number;
}

/** A strike's rate by what came before and after it. The same object each time: copy what is kept. */
export interface SmoothedRate {
  timeS: number;
  rateHz: number;
  rateSdHz: number;
}

/** Rates by what came before and after. */
export interface Smoothing {
  /** No strike waits much longer than this to be told, seconds; nor for more than 24 strikes. */
  readonly lagS: number;
  /** Told of each strike that has a rate, in order of time. */
  readonly onSmoothed: (smoothed: Readonly<SmoothedRate>) => void;
}

export { createStrikeChain } from './chain';
