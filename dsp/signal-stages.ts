/** What a made signal meets on its way, stage by stage: hum, whine, coupling, noise, pumping, rounding. Each changes
 * a block in place and carries its state over to the next, so that the cut into blocks changes no bit. */
import type { HumRecipe, PumpingRecipe, ToneRecipe } from './signal-recipe';
import type { Random } from './random';

/** @param block samples to change @param start the block's first sample, counted from the start of the signal */
export type Stage = (block: Float64Array, start: number) => void;

/** Adds hum and its harmonics, each at a phase of its own. */
export function humStage(hum: HumRecipe, clockHz: number, random: Random): Stage {
  const parts = hum.amplitudes.map((amplitude, k) => {
    const turn = (2 * Math.PI * hum.frequencyHz * (k + 1)) / clockHz;
    const phase = 2 * Math.PI * random.uniform();
    return { amplitude, turn, phase };
  });
  return (block, start) => {
    for (const { amplitude, turn, phase } of parts)
      if (amplitude !== 0)
        for (let n = 0; n < block.length; n++) block[n]! += amplitude * Math.sin(phase + turn * (start + n));
  };
}

/** Adds a tone whose phase is told for every instant. */
export function toneStage(tone: ToneRecipe, clockHz: number): Stage {
  return (block, start) => {
    for (let n = 0; n < block.length; n++) {
      const cycles = tone.cyclesAt((start + n) / clockHz);
      const angle = 2 * Math.PI * (cycles - Math.floor(cycles));
      for (let k = 0; k < tone.amplitudes.length; k++)
        block[n]! += tone.amplitudes[k]! * Math.sin((k + 1) * angle);
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
