/** The small languages of the options of `simulate`: numbers in lists and pairs, speed profiles. Texts in, numbers out. */
import { BadUsage, numberOf, textOf, type OptionValues } from './cli-command';
import type { SpeedProfile } from '../scenario/motion';
import { PLAIN_SCENARIO, type Scenario } from '../scenario/scenario';
import { blipProfile, CRANKING_PROFILE, idleProfile } from './simulate-presets';

/** A number among words. @throws BadUsage that says what was wanted */
export function plain(option: string, words: string, wanted: string): number {
  const value = /^\s*[+-]?(\d+\.?\d*|\.\d+)\s*$/.test(words) ? Number(words) : NaN;
  if (Number.isNaN(value)) throw new BadUsage(`--${option} must be ${wanted}, got "${words}"`);
  return value;
}

/** Numbers with commas between them; null where the option was not given. */
export function listOf(values: OptionValues, name: string): number[] | null {
  return (
    textOf(values, name)
      ?.split(',')
      .map((each) => plain(name, each, 'numbers with commas between them')) ?? null
  );
}

/** Pairs such as 800:10,3000:34. */
export function pairsOf(option: string, words: string): [number, number][] {
  const wanted = 'pairs such as 800:10,3000:34';
  return words.split(',').map((pair) => {
    const [left, right, ...more] = pair.split(':');
    if (left === undefined || right === undefined || more.length > 0)
      throw new BadUsage(`--${option} must be ${wanted}, got "${words}"`);
    return [plain(option, left, wanted), plain(option, right, wanted)];
  });
}

/** The speed profile asked for, or the preset's. @throws BadUsage if it is none */
export function profileOf(values: OptionValues, preset: Scenario): SpeedProfile {
  const rpm = numberOf(values, 'rpm', { from: 60, to: 20_000 });
  const words = textOf(values, 'profile');
  if (rpm !== null && words !== undefined) throw new BadUsage('--rpm and --profile cannot both be given');
  const chosen = words !== undefined ? namedProfile(words, preset.seconds) : preset.profile;
  const steady = rpm === null ? chosen : { ...chosen, corners: [{ timeS: 0, rpm }] };
  return { ...steady, wanderShare: numberOf(values, 'wander', { from: 0, to: 0.3 }) ?? steady.wanderShare };
}

/** Seconds to go from one step to the next. */
const STEP_RAMP_S = 1.5;

function namedProfile(words: string, seconds: number): SpeedProfile {
  const [name, rest = ''] = words.split(/:(.*)/);
  const wanderShare = PLAIN_SCENARIO.profile.wanderShare;
  const rpmOf = (one: string): number => plain('profile', one, 'a profile whose speeds are numbers');
  if (name === 'blip' && !rest) return blipProfile(seconds);
  if (name === 'cranking' && !rest) return CRANKING_PROFILE;
  if (name === 'idle') return idleProfile(rest ? rpmOf(rest) : 800);
  if (name === 'sweep') {
    const [from, to, ...more] = rest.split('-');
    if (from === undefined || to === undefined || more.length > 0)
      throw new BadUsage(`--profile sweep must be as sweep:800-4500, got "${words}"`);
    return {
      corners: [
        { timeS: 0, rpm: rpmOf(from) },
        { timeS: Math.max(seconds, 1e-3), rpm: rpmOf(to) },
      ],
      wanderShare,
    };
  }
  if (name === 'steps') return { corners: stepCorners(rest.split(',').map(rpmOf), seconds), wanderShare };
  if (!/^[\d.]/.test(words))
    throw new BadUsage(
      `--profile must be sweep, steps, idle, blip, cranking or corners such as 0:800,10:4000, got "${words}"`,
    );
  return { corners: pairsOf('profile', words).map(([timeS, rpm]) => ({ timeS, rpm })), wanderShare };
}

function stepCorners(steps: readonly number[], seconds: number): SpeedProfile['corners'] {
  const eachS = seconds / steps.length;
  if (steps.length > 1 && !(eachS > STEP_RAMP_S))
    throw new BadUsage(
      `--profile steps: ${steps.length} steps need more than ${steps.length * STEP_RAMP_S} seconds, got ${seconds}`,
    );
  return steps
    .flatMap((rpm, i) => (i === 0 ? [{ timeS: 0, rpm }] : [{ timeS: i * eachS + STEP_RAMP_S, rpm }]))
    .flatMap((corner, i, all) =>
      i < all.length - 1 ? [corner, { timeS: (i + 1) * eachS, rpm: corner.rpm }] : [corner],
    );
}
