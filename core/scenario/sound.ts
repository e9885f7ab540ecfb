/** How an engine sounds through a clamp: a setting in shares, decibels and hertz in, the signal maker's recipe out. The
 * ranges are those that inputs and ignitions have; the one drawn from them at random is here too. */
import { createRandom, type Random } from '../../dsp/maker/random';
import type { ChannelRecipe, SignalRecipe, VoiceRecipe } from '../../dsp/maker/signal-recipe';
import type { PulseShape, SensorShape, StrikeShape } from '../../dsp/maker/strike-shape';
import type { Pickup } from '../engine';
import { closingVoice, type MadePoints } from './closing';
import type { LeadPlan } from './firing';

/** The crank sensor is a source beside the leads, which count from 0. */
export const SENSOR_SOURCE = 1000;

/** What comes down the line input, as shares of the strike's peak where not said. */
export interface Sound {
  /** Peak of the clamped lead's strike, share of full scale; above 1 it is clipped. */
  readonly peak: number;
  readonly amplitudeScatter: number;
  readonly shape: StrikeShape;
  readonly kick: { readonly share: number; readonly delayS: number } | null;
  readonly crosstalk: { readonly lowest: number; readonly highest: number } | null;
  /** White noise, standard deviation below the peak; null: none. */
  readonly noiseBelowDb: number | null;
  readonly hum: { readonly hz: 50 | 60; readonly share: number } | null;
  readonly whineShare: number;
  readonly straysPerSecond: number;
  readonly pumpingDb: number;
  readonly acCouplingHz: number | null;
  readonly inverted: boolean;
  readonly lostPerMinute: number;
  readonly clockPpm: number;
}

/** The second channel: a crank sensor. */
export interface SensorSound {
  readonly shape: SensorShape;
  /** Share of full scale. */
  readonly peak: number;
  /** Ignition leaking in, share of the sensor's peak. */
  readonly leakShare: number;
  /** Pulses downwards; a reluctance pulse then goes down first. */
  readonly inverted: boolean;
  /** By so much its pulses come later than the crank's place: the constant delay of its channel, seconds. */
  readonly delayS: number;
  /** Chance in each turn of a pulse that no tooth made. */
  readonly extraShare: number;
}

/** A quiet input in a tidy engine bay. */
export const CLEAN_SOUND: Sound = {
  peak: 0.5,
  amplitudeScatter: 0.05,
  shape: { kind: 'strike', riseS: 5e-6, fallS: 40e-6, ringHz: 6000, ringShare: 0.4, ringDecayS: 0.3e-3 },
  kick: null,
  crosstalk: null,
  noiseBelowDb: 60,
  hum: null,
  whineShare: 0,
  straysPerSecond: 0,
  pumpingDb: 0,
  acCouplingHz: 5,
  inverted: false,
  lostPerMinute: 0,
  clockPpm: 0,
};

export const PLAIN_SENSOR: SensorSound = {
  shape: { kind: 'reluctance', widthS: 150e-6 },
  peak: 0.4,
  leakShare: 0.1,
  inverted: false,
  delayS: 0,
  extraShare: 0,
};

/** Hum and its harmonics beside the fundamental: odd ones stand out, as on a mains supply. */
const HUM_HARMONICS = [1, 0.15, 0.35, 0.06, 0.2, 0.03, 0.1] as const;
/** The whine and its harmonics: a six-phase ripple above the field's own tone. */
const WHINE_HARMONICS = [1, 0.3, 0.2, 0.1, 0.1, 0.6] as const;
/** Whine cycles a crank turn: six pole pairs behind pulleys of 2.6 to 1. */
export const WHINE_CYCLES_PER_TURN = 15.6;

/** The same strike through another lead and another coupling. */
function varied(shape: StrikeShape, random: Random): StrikeShape {
  return {
    ...shape,
    riseS: shape.riseS * random.between(0.85, 1.15),
    fallS: shape.fallS * random.between(0.85, 1.15),
    ringHz: shape.ringHz * random.between(0.92, 1.08),
  };
}

const voice = (
  source: number,
  shape: PulseShape,
  amplitude: number,
  kick: VoiceRecipe['kick'] = null,
): VoiceRecipe => ({
  source,
  shape,
  amplitude,
  kick,
});

/** What each lead gives the clamp: the clamped one all of itself, on a coil lead every cylinder nearly the same. */
function leadVoices(sound: Sound, pickup: Pickup, leads: number, random: Random): VoiceRecipe[] {
  const kick = sound.kick && { ...sound.kick, scatter: 0.1 };
  return Array.from({ length: leads }, (_, lead) => {
    const shape = lead === 0 ? sound.shape : varied(sound.shape, random);
    const coil = 1 - 0.05 * random.uniform();
    const leak = sound.crosstalk ? random.between(sound.crosstalk.lowest, sound.crosstalk.highest) : 0;
    const share = lead === 0 ? 1 : pickup === 'coil' ? coil : leak;
    return voice(lead, shape, sound.peak * share, kick);
  }).filter(({ amplitude }) => amplitude !== 0);
}

function channel(
  sound: Sound,
  voices: VoiceRecipe[],
  peak: number,
  cyclesAt: (timeS: number) => number,
): ChannelRecipe {
  const { hum, noiseBelowDb, straysPerSecond, whineShare, pumpingDb, acCouplingHz, inverted } = sound;
  const humScale = hum ? hum.share * peak : 0;
  return {
    voices,
    hum: hum && { frequencyHz: hum.hz, amplitudes: HUM_HARMONICS.map((share) => share * humScale) },
    whine:
      whineShare > 0
        ? { amplitudes: WHINE_HARMONICS.map((share) => share * whineShare * peak), cyclesAt }
        : null,
    strays:
      straysPerSecond > 0
        ? { perSecond: straysPerSecond, lowestAmplitude: 0.2 * peak, highestAmplitude: 1.5 * peak }
        : null,
    acCouplingHz,
    noiseSd: noiseBelowDb === null ? 0 : peak * 10 ** (-noiseBelowDb / 20),
    pumping: pumpingDb > 0 ? { depthDb: pumpingDb, rateHz: 1 } : null,
    inverted,
  };
}

export interface RecipeFacts {
  readonly sampleRateHz: number;
  readonly bits: 16 | 24 | null;
  readonly seed: number;
  readonly pickup: Pickup;
  readonly plan: LeadPlan;
  /** Points whose closing is heard on the clamp's channel; where not said, none. */
  readonly points?: MadePoints | null;
  /** Cycles of the whine since the start. */
  readonly whineCyclesAt: (timeS: number) => number;
}

/** @param sensor the second channel; null for one channel. On a `sensor` pick-up the sensor is the only channel.
 * @throws RangeError if crosstalk is asked of a pick-up that has no other lead */
export function recipeOf(sound: Sound, sensor: SensorSound | null, facts: RecipeFacts): SignalRecipe {
  const { pickup, plan, whineCyclesAt } = facts;
  if (sound.crosstalk && pickup !== 'plug' && pickup !== 'wasted')
    throw new RangeError(
      `crosstalk needs a plug or wasted-spark lead, got ${pickup}: all its strikes are its own`,
    );
  const random = createRandom(facts.seed, 7);
  const leads = leadVoices(sound, pickup, plan.offsetTurns.length, random);
  const closing = facts.points ? [closingVoice(facts.points, sound.peak)] : [];
  const clamp = channel(sound, [...leads, ...closing], sound.peak, whineCyclesAt);
  const crank =
    sensor &&
    channel(
      { ...sound, inverted: false },
      sensorVoices(sensor, sound, plan, random),
      sensor.peak,
      whineCyclesAt,
    );
  const channels = pickup === 'sensor' ? [crank ?? clamp] : crank ? [clamp, crank] : [clamp];
  return {
    sampleRateHz: facts.sampleRateHz,
    clockPpm: sound.clockPpm,
    bits: facts.bits,
    seed: facts.seed,
    amplitudeScatter: sound.amplitudeScatter,
    channels,
    lost:
      sound.lostPerMinute > 0 ? { perMinute: sound.lostPerMinute, shortestS: 1e-3, longestS: 50e-3 } : null,
  };
}

/** The sensor, and the leads that leak in: No. 1, which the wiring lies beside, the most. */
function sensorVoices(sensor: SensorSound, sound: Sound, plan: LeadPlan, random: Random): VoiceRecipe[] {
  const leak = sensor.leakShare * sensor.peak;
  const leaks = plan.offsetTurns.map((_, lead) =>
    voice(lead, sound.shape, leak * (lead === 0 ? 1 : random.between(0.3, 0.9))),
  );
  const peak = sensor.inverted ? -sensor.peak : sensor.peak;
  return [voice(SENSOR_SOURCE, sensor.shape, peak), ...(leak > 0 ? leaks : [])];
}

/** A sound with every figure of the strike, its kick and the input drawn evenly (frequencies and times by their
 * logarithm) from the ranges that inputs and ignitions have; hum, whine, strays, crosstalk and losses left as in
 * `around`, for the caller to set one by one. */
export function drawSound(seed: number, around: Sound = CLEAN_SOUND): Sound {
  const random = createRandom(seed, 8);
  const byRatio = (low: number, high: number): number => low * (high / low) ** random.uniform();
  return {
    ...around,
    amplitudeScatter: random.between(0.05, 0.3),
    shape: {
      kind: 'strike',
      riseS: byRatio(1e-6, 20e-6),
      fallS: byRatio(20e-6, 80e-6),
      ringHz: byRatio(2000, 12_000),
      ringShare: random.between(0.1, 0.7),
      ringDecayS: byRatio(0.1e-3, 0.6e-3),
    },
    kick: { share: random.between(-0.8, 0.8), delayS: random.between(0.8e-3, 2e-3) },
    acCouplingHz: byRatio(2, 20),
    inverted: random.uniform() < 0.5,
    clockPpm: random.between(-100, 100),
  };
}
