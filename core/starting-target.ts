/** A target to start from: what is known of the engine in; a first curve with the reason for each step of it, and the
 * words that it is no more than a start, out. */
import type { EngineFacts, EngineTraits } from './engine';
import type { Target } from './job';

export interface StartingTarget {
  readonly target: Target;
  /** Why, one sentence a trait that was said. */
  readonly reasons: readonly string[];
  /** What it is and what it is not. */
  readonly standing: string;
  readonly cautions: readonly string[];
}

/** Common practice, a street V8 with petrol: initial about 12, total aimed at 34 to 36. */
const INITIAL_DEG = 12;
const TOTAL_DEG = 35;
/** Our own middle: all in by 3000 rpm, before the 3500 to 4000 at which common practice reads the total. */
const ALL_IN_RPM = 3000;
const LEAST_START_RPM = 1000;
/** The weights must rest at idle, with this much to spare, or idle timing is not the initial timing. */
const ABOVE_IDLE_RPM = 200;
/** Ours: no rule gives the numbers. Five traits one way move the all-in speed by 750 rpm. */
const RPM_FOR_EACH_TRAIT = 150;
const LEAST_RAMP_RPM = 1000;
const BAND_DEG = 2;

interface TraitWords {
  readonly faster: string;
  readonly slower: string;
}

/** Which side of each trait accepts a faster curve: common practice. */
const TRAITS: {
  readonly [K in keyof EngineTraits]: { readonly [value: string]: keyof TraitWords | undefined };
} = {
  compression: { high: 'faster', low: 'slower' },
  camDuration: { long: 'faster', short: 'slower' },
  weight: { light: 'faster', heavy: 'slower' },
  gearing: { short: 'faster', long: 'slower' },
  converter: { loose: 'faster', tight: 'slower' },
};

const WORDS: { readonly [K in keyof EngineTraits]: TraitWords } = {
  compression: { faster: 'More compression', slower: 'Less compression' },
  camDuration: { faster: 'A longer cam', slower: 'A shorter cam' },
  weight: { faster: 'A lighter car', slower: 'A heavier car' },
  gearing: { faster: 'Shorter gearing', slower: 'Longer gearing' },
  converter: { faster: 'A looser converter', slower: 'A tighter converter' },
};

/** @source Common practice: which traits accept a faster curve and which want a slower one; no rule gives the numbers,
 * so the rpm for each is this program's own */
export function startingTarget(engine: Pick<EngineFacts, 'traits' | 'idleRpm'>): StartingTarget {
  const reasons: string[] = [];
  let faster = 0;
  for (const trait of Object.keys(TRAITS) as (keyof EngineTraits)[]) {
    const value = engine.traits[trait];
    const pull = value === null ? undefined : TRAITS[trait][value];
    if (pull === undefined) continue;
    faster += pull === 'faster' ? 1 : -1;
    reasons.push(
      pull === 'faster'
        ? `${WORDS[trait].faster} accepts a faster curve: all in ${RPM_FOR_EACH_TRAIT} rpm sooner.`
        : `${WORDS[trait].slower} wants a slower curve: all in ${RPM_FOR_EACH_TRAIT} rpm later.`,
    );
  }
  const startRpm = Math.max(LEAST_START_RPM, (engine.idleRpm ?? 0) + ABOVE_IDLE_RPM);
  const allInRpm = Math.max(ALL_IN_RPM - faster * RPM_FOR_EACH_TRAIT, startRpm + LEAST_RAMP_RPM);
  if (startRpm > LEAST_START_RPM)
    reasons.push(
      `The start lies ${ABOVE_IDLE_RPM} rpm above the idle of ${engine.idleRpm} rpm, so that the weights rest at idle.`,
    );
  return {
    target: {
      corners: [
        { rpm: startRpm, advanceDeg: INITIAL_DEG },
        { rpm: allInRpm, advanceDeg: TOTAL_DEG },
      ],
      bandDeg: BAND_DEG,
    },
    reasons,
    standing:
      'A starting point only, from what is usual for a street V8 on petrol: no rule gives the numbers for an engine. ' +
      'Try, note, try again.',
    cautions: [
      "The maker's data come first: where they give a curve, enter that instead.",
      'Knock breaks engines, sometimes unheard: start low, add little, stop at the first sign.',
    ],
  };
}
