/** What a made signal meets on its way, stage by stage: hum, whine, coupling, noise, pumping, rounding. Each changes
 * a block in place and carries its state over to the next, so that the cut into blocks changes no bit. */
import type { HumRecipe, PumpingRecipe, ToneRecipe } from './signal-recipe';
import type { Random } from './random';

/** @param block samples to change @param start the block's first sample, counted from the start of the signal */
export type Stage = (block: Float64Array, start: number) => void;

/** The height of a tone with harmonics, from the sine and cosine of its fundamental's angle: the higher ones by the
 * addition theorem, since a sine for each would cost most of the making. */
type Harmonics = (cos: number, sin: number) => number;

function harmonicsOf(amplitudes: readonly number[], phases: readonly number[]): Harmonics {
  const ofSin = Float64Array.from(amplitudes, (amplitude, k) => amplitude * Math.cos(phases[k] ?? 0));
  const ofCos = Float64Array.from(amplitudes, (amplitude, k) => amplitude * Math.sin(phases[k] ?? 0));
  return (cos, sin) => {
    let height = 0;
    let [c, s] = [cos, sin];
    for (let k = 0; k < ofSin.length; k++) {
      height += ofSin[k]! * s + ofCos[k]! * c;
      const turned = c * cos - s * sin;
      s = s * cos + c * sin;
      c = turned;
    }
    return height;
  };
}

/** The fundamental's angle is taken afresh every so many samples, and turned on in between. */
const FRESH_SAMPLES = 1024;

/** Adds hum and its harmonics, each at a phase of its own. */
export function humStage(hum: HumRecipe, clockHz: number, random: Random): Stage {
  const phases = hum.amplitudes.map(() => 2 * Math.PI * random.uniform());
  const height = harmonicsOf(hum.amplitudes, phases);
  const turn = (2 * Math.PI * hum.frequencyHz) / clockHz;
  const [stepCos, stepSin] = [Math.cos(turn), Math.sin(turn)];
  let [cos, sin] = [1, 0];
  return (block, start) => {
    for (let n = 0; n < block.length; n++) {
      if ((start + n) % FRESH_SAMPLES === 0) {
        cos = Math.cos(turn * (start + n));
        sin = Math.sin(turn * (start + n));
      }
      block[n]! += height(cos, sin);
      const turned = cos * stepCos - sin * stepSin;
      sin = sin * stepCos + cos * stepSin;
      cos = turned;
    }
  };
}

/** Adds a tone whose phase is told for every instant. */
export function toneStage(tone: ToneRecipe, clockHz: number): Stage {
  const height = harmonicsOf(tone.amplitudes, []);
  return (block, start) => {
    for (let n = 0; n < block.length; n++) {
      const cycles = tone.cyclesAt((start + n) / clockHz);
      const angle = 2 * Math.PI * (cycles - Math.floor(cycles));
      block[n]! += height(Math.cos(angle), Math.sin(angle));
    }
  };
}

/** A capacitor in the way: first-order high-pass by the trapezoid rule.
 * @source bilinear transform of s/(s + w), prewarped; Oppenheim & Schafer ch. 7 (memory) */
export function couplingStage(cornerHz: number, clockHz: number): Stage {
  const warped = Math.tan((Math.PI * cornerHz) / clockHz);
  const gain = 1 / (1 + warped);
  const back = (1 - warped) / (1 + warped);
  let lastIn = 0;
  let lastOut = 0;
  return (block) => {
    for (let n = 0; n < block.length; n++) {
      const now = block[n]!;
      block[n] = lastOut = gain * (now - lastIn) + back * lastOut;
      lastIn = now;
    }
  };
}

/** Adds white noise. */
export function noiseStage(sd: number, random: Random): Stage {
  return (block) => {
    for (let n = 0; n < block.length; n++) block[n]! += sd * random.normal();
  };
}

/** Gain that goes up and down, its beat itself uneven. */
export function pumpingStage(pumping: PumpingRecipe, clockHz: number, random: Random): Stage {
  const turn = (2 * Math.PI * pumping.rateHz) / clockHz;
  const [phase, drift] = [2 * Math.PI * random.uniform(), 2 * Math.PI * random.uniform()];
  const perNeper = (pumping.depthDb / 20) * Math.LN10;
  return (block, start) => {
    for (let n = 0; n < block.length; n++) {
      const at = turn * (start + n);
      const down = 0.5 - 0.5 * Math.cos(phase + at + 0.7 * Math.sin(drift + 0.23 * at));
      block[n]! *= Math.exp(-perNeper * down);
    }
  };
}

/** Cuts at full scale and rounds as a converter of so many bits; null leaves the steps out but still cuts. */
export function roundingStage(bits: 16 | 24 | null): Stage {
  if (bits === null)
    return (block) => {
      for (let n = 0; n < block.length; n++) block[n] = Math.max(-1, Math.min(1, block[n]!));
    };
  const steps = 2 ** (bits - 1);
  return (block) => {
    for (let n = 0; n < block.length; n++)
      block[n] = Math.max(-steps, Math.min(steps - 1, Math.round(block[n]! * steps))) / steps;
  };
}
