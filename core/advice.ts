/** The first advice: a fit, a target, the engine's facts, limits and notes of knock in; how far and which way to turn
 * the housing and what idle will then read out. Figures stand beside every sentence; what is not known is asked for,
 * never guessed; nothing is advised that passes a limit or adds advance where it knocked. */
import { arcMm, housingDeg, housingTurn } from './angle';
import { type EngineFacts, HIGHEST_RPM, type RotorSense } from './engine';
import type { CurveFit, Figure } from './fit';
import type { Knock, Limits, Target } from './job';
import { knockBlock } from './knock-guard';
import { limitWarnings } from './limits';
import { NO_LIMITS } from './new-job';
import { targetAt } from './target';

/** What is to be put on target: the total (the usual order), the initial, or the advance at one speed. */
export type Aim = 'total' | 'initial' | { readonly rpm: number };

export interface HousingAdvice {
  readonly aim: Aim;
  /** `turn`: a move is worth making. `leave`: it is within what can be read. `unknown`: what to set is not seen.
   * `blocked`: a limit or a note of knock stands in the way. */
  readonly kind: 'turn' | 'leave' | 'unknown' | 'blocked';
  /** The advance now and the advance wanted, crank degrees. */
  readonly nowDeg: Figure | null;
  readonly wantedDeg: number;
  /** Crank degrees to add; below 0 to take away. */
  readonly moveDeg: Figure | null;
  /** The same at the housing and along its rim, without sign; null where not known. */
  readonly housingDeg: number | null;
  readonly arcMm: number | null;
  readonly arcErrorMm: number | null;
  /** The way to turn the housing, seen from above the cap; null where the rotor's sense is not said. */
  readonly turn: RotorSense | null;
  /** What idle will read after the move; null where it is not seen. */
  readonly idleAfterDeg: Figure | null;
  /** Facts that would make the advice whole, in words. */
  readonly missing: readonly string[];
  readonly sentences: readonly string[];
  /** To be shown where the act happens. */
  readonly cautions: readonly string[];
}

type Facts = Pick<EngineFacts, 'strokes' | 'rotorSense' | 'housingDiameterMm' | 'idleRpm'>;

/** What stands over every advice. */
export interface Guard {
  readonly limits: Limits;
  readonly knocks: readonly Knock[];
}
const NO_GUARD: Guard = { limits: NO_LIMITS, knocks: [] };

export const KNOCK =
  'More advance can bring knock, which breaks engines, sometimes unheard: start low, add little, stop at the first sign.';
export const MAKER =
  "The maker's data and the emissions label come first; where they differ from the target, follow them.";
export const STOPPED =
  'Stop the engine before touching the distributor; lock the housing before starting it again.';

const clean = (value: number): number => (Object.is(value, -0) ? 0 : value);
const crank = (value: number): string => `${Math.abs(value).toFixed(1)} crank degrees`;

function aimed(
  fit: CurveFit,
  target: Target,
  aim: Aim,
): { now: Figure | null; wanted: number; name: string } {
  if (aim === 'total') return { now: fit.totalDeg, wanted: targetAt(target, Infinity), name: 'the total' };
  if (aim === 'initial')
    return { now: fit.initialDeg, wanted: targetAt(target, 0), name: 'the initial timing' };
  const [value, band] = [fit.predict(aim.rpm), fit.band(aim.rpm)];
  const now = value === null || band === null ? null : { value, ...band };
  return { now, wanted: targetAt(target, aim.rpm), name: `the advance at ${Math.round(aim.rpm)} rpm` };
}

/** How far to turn the housing to bring the total, or what is asked for, onto the target.
 * @throws RangeError if the target has no corners
 * @source Common practice: set the total and lock the housing, then see what idle reads; turning the housing moves the
 * whole curve by the same degrees */
export function housingAdvice(
  fit: CurveFit,
  target: Target,
  engine: Facts,
  aim: Aim = 'total',
  guard: Guard = NO_GUARD,
): HousingAdvice {
  const { now, wanted: onTarget, name } = aimed(fit, target, aim);
  const wanted = withinLimit(aim, onTarget, guard.limits);
  if (now === null) return unknown(aim, wanted, name);
  const move = { value: wanted - now.value, low: wanted - now.high, high: wanted - now.low };
  const kind = move.low <= 0 && move.high >= 0 ? 'leave' : 'turn';
  const obstacle = kind === 'turn' ? obstacleTo(move.value, { fit, aim, wanted }, guard) : null;
  if (obstacle !== null) return blocked({ aim, now, wanted }, obstacle);
  const way = move.value > 0 ? 'advance' : 'retard';
  const atHousing = Math.abs(housingDeg(move.value, engine.strokes));
  const diameter = engine.housingDiameterMm;
  const errorDeg = housingDeg((move.high - move.low) / 2, engine.strokes);
  const facts = {
    aim,
    kind,
    nowDeg: now,
    wantedDeg: wanted,
    moveDeg: { value: clean(move.value), low: clean(move.low), high: clean(move.high) },
    housingDeg: atHousing,
    arcMm: diameter === null ? null : arcMm(diameter, atHousing),
    arcErrorMm: diameter === null ? null : arcMm(diameter, errorDeg),
    turn: engine.rotorSense === null ? null : housingTurn(engine.rotorSense, way),
    idleAfterDeg: idleAfter(fit, engine, aim, wanted),
  } as const;
  const missing = kind === 'turn' ? missingFacts(engine) : [];
  const sentences =
    kind === 'turn' ? turnSentences(facts, name, missing, engine) : leaveSentences(facts, name);
  const held = wanted < onTarget ? [heldText(name, onTarget, wanted)] : [];
  const above = limitWarnings({ totalDeg: null, idleDeg: facts.idleAfterDeg }, guard.limits);
  const cautions = [
    ...held,
    ...above.map(({ text }) => `After this: ${text}`),
    ...(kind === 'leave' ? [] : way === 'advance' ? [KNOCK, STOPPED] : [STOPPED]),
    MAKER,
  ];
  return { ...facts, missing, sentences, cautions };
}

const heldText = (name: string, onTarget: number, wanted: number): string =>
  `The target wants ${onTarget.toFixed(1)} degrees; your limit holds ${name} at ${wanted.toFixed(1)}.`;

/** What is aimed at, no higher than a limit allows. */
function withinLimit(aim: Aim, wanted: number, { mostTotalDeg, mostIdleDeg }: Limits): number {
  const most = [mostTotalDeg, aim === 'initial' ? mostIdleDeg : null].filter((limit) => limit !== null);
  return Math.min(wanted, ...most);
}

/** Why a move may not be advised; null where it may. Taking advance away always may. */
function obstacleTo(
  moveDeg: number,
  { fit, aim, wanted }: { fit: CurveFit; aim: Aim; wanted: number },
  { limits, knocks }: Guard,
): string | null {
  if (moveDeg <= 0) return null;
  const knock = knockBlock(knocks, () => moveDeg);
  if (knock) return knock.text;
  if (limits.mostTotalDeg === null || aim === 'total') return null;
  const rise = fit.rise(setAtRpm(aim), HIGHEST_RPM);
  const limit = `your limit of ${limits.mostTotalDeg.toFixed(1)} degrees for the total`;
  if (rise === null) return `The total is not seen yet, and more advance could pass ${limit}. Read it first.`;
  const total = wanted + rise.value;
  return total > limits.mostTotalDeg
    ? `The total would then be ${total.toFixed(1)} degrees, above ${limit}: a shorter range comes first.`
    : null;
}

function blocked(
  { aim, now, wanted }: { aim: Aim; now: Figure; wanted: number },
  why: string,
): HousingAdvice {
  const nothing = { moveDeg: null, housingDeg: null, arcMm: null, arcErrorMm: null, idleAfterDeg: null };
  return {
    ...{ aim, kind: 'blocked', nowDeg: now, wantedDeg: wanted, ...nothing, turn: null, missing: [] },
    sentences: [why],
    cautions: [KNOCK, MAKER],
  };
}

function unknown(aim: Aim, wantedDeg: number, name: string): HousingAdvice {
  const nothing = { nowDeg: null, moveDeg: null, housingDeg: null, arcMm: null, arcErrorMm: null };
  const sentence = `${name[0]!.toUpperCase()}${name.slice(1)} is not seen yet, so how far to turn the housing cannot be said. Take more readings there.`;
  return {
    ...{ aim, kind: 'unknown', wantedDeg, ...nothing, turn: null, idleAfterDeg: null, missing: [] },
    sentences: [sentence],
    cautions: [MAKER],
  };
}

/** Idle then reads what was wanted less the rise between idle and what was set: only that rise's error counts. */
function idleAfter(fit: CurveFit, { idleRpm }: Facts, aim: Aim, wanted: number): Figure | null {
  if (idleRpm === null) return null;
  const rise = fit.rise(idleRpm, setAtRpm(aim));
  return rise && { value: wanted - rise.value, low: wanted - rise.high, high: wanted - rise.low };
}

const setAtRpm = (aim: Aim): number => (aim === 'total' ? HIGHEST_RPM : aim === 'initial' ? 1 : aim.rpm);

export function missingFacts(engine: Facts): string[] {
  const missing: string[] = [];
  if (engine.rotorSense === null) missing.push("the rotor's turning sense, seen from above the cap");
  if (engine.housingDiameterMm === null) missing.push('the diameter of the distributor housing');
  return missing;
}

type Told = Omit<HousingAdvice, 'missing' | 'sentences' | 'cautions'>;

function turnSentences(told: Told, name: string, missing: readonly string[], engine: Facts): string[] {
  const move = told.moveDeg!;
  const way = move.value > 0 ? 'Advance' : 'Retard';
  const error = (move.high - move.low) / 2;
  const arc =
    told.arcMm === null
      ? ''
      : `, ${told.arcMm.toFixed(1)} mm along its rim (give or take ${told.arcErrorMm!.toFixed(1)} mm)`;
  const sense =
    told.turn === null
      ? `${move.value > 0 ? "against the rotor's rotation" : "with the rotor's rotation"}`
      : `${told.turn} seen from above the cap, ${move.value > 0 ? 'against' : 'with'} the rotor's rotation`;
  const sentences = [
    `${way} by ${crank(move.value)} (give or take ${error.toFixed(1)}) to bring ${name} from ${told.nowDeg!.value.toFixed(1)} to ${told.wantedDeg.toFixed(1)} degrees.`,
    `Turn the housing ${told.housingDeg!.toFixed(1)} degrees ${sense}${arc}.`,
  ];
  if (missing.length > 0) sentences.push(`To say it in full, this is wanted: ${missing.join('; ')}.`);
  if (told.idleAfterDeg !== null) sentences.push(idleSentence(told.idleAfterDeg, engine));
  return sentences;
}

const idleSentence = ({ value, low, high }: Figure, { idleRpm }: Facts): string =>
  `Idle (${Math.round(idleRpm!)} rpm) will then read ${value.toFixed(1)} degrees (${low.toFixed(1)} to ${high.toFixed(1)}).`;

function leaveSentences(told: Told, name: string): string[] {
  const { low, high } = told.nowDeg!;
  return [
    `Leave the housing: ${name} reads ${told.nowDeg!.value.toFixed(1)} degrees (${low.toFixed(1)} to ${high.toFixed(1)}), and the ${told.wantedDeg.toFixed(1)} wanted lie within what can be read.`,
  ];
}
