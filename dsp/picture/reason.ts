/** Why there is no rate: what the last seconds were like in, one of the plain reasons out. */
import type { Candidates } from '../impulses/candidates';
import type { NoRateReason } from '../follow-state';

export interface NoRateFacts {
  readonly nowS: number;
  readonly peak: number;
  readonly rms: number;
  readonly clippedShare: number;
  readonly gates: number;
  readonly humAmplitude: number | null;
}

const LOOK_BACK_S = 3;
/** A converter's own noise stays below this, share of full scale. */
const SILENT_PEAK = 5e-4;
const CLIPPED_SHARE = 0.05;
const GATES_A_SECOND = 2;
/** Peak by the noise's standard deviation: above, an impulse; below, it may be the noise itself. */
const CLEAR_PEAK = 6;
const FEWEST_IMPULSES = 3;
/** A level that goes up and down by this factor, so many times in those seconds, is pumped. */
const SWING = 3;
const SWINGS = 4;

export function whyNoRate(all: Candidates, facts: NoRateFacts): NoRateReason {
  if (facts.peak < SILENT_PEAK) return 'silence';
  if (facts.clippedShare > CLIPPED_SHARE) return 'clipping';
  if (facts.gates >= GATES_A_SECOND) return 'speech processing';
  let clear = 0;
  let [swings, turned, rising] = [0, 0, true];
  for (let c = all.end - 1; c >= all.first && all.timeS[all.at(c)]! > facts.nowS - LOOK_BACK_S; c--) {
    const noise = all.noise[all.at(c)]!;
    if (all.peak[all.at(c)]! > CLEAR_PEAK * noise) clear++;
    if (turned === 0 || (rising ? noise > turned : noise < turned)) turned = noise;
    else if (rising ? noise < turned / SWING : noise > turned * SWING) {
      swings++;
      rising = !rising;
      turned = noise;
    }
  }
  if (clear >= FEWEST_IMPULSES) return swings >= SWINGS ? 'speech processing' : 'no steady beat';
  return facts.humAmplitude !== null && facts.humAmplitude > facts.rms / 2 ? 'only hum' : 'too weak';
}
