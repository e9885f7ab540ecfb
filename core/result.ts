/** The measured curve beside the one wanted: a fit and a target in; where it leaves the band and by how much, where
 * nothing can be said, and whether idle is still the initial out. Every sentence carries its figures. */
import type { EngineFacts } from './engine';
import type { CurveFit, Figure } from './fit';
import type { Target } from './job';
import { targetAt } from './target';

/** A stretch of speeds in which the curve lies outside the band, on one side. */
export interface OffStretch {
  readonly fromRpm: number;
  readonly toRpm: number;
  /** Where the curve is furthest off. */
  readonly atRpm: number;
  /** Curve less target there, degrees: positive is too much advance. */
  readonly offDeg: number;
  /** By how much that is more than the band allows, degrees, over 0. */
  readonly beyondBandDeg: number;
  /** The readings leave no doubt: the curve's whole 95 % band lies outside there. */
  readonly sure: boolean;
  readonly text: string;
}

export interface UnseenStretch {
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly text: string;
}

export interface Comparison {
  readonly off: readonly OffStretch[];
  readonly unseen: readonly UnseenStretch[];
  /** Inside the band wherever the curve is seen; null where it is seen nowhere. */
  readonly inBand: boolean | null;
  readonly text: string;
}

const GRID_RPM = 10;
/** How far past the target's outer corners the curve still counts, where readings or corners don't say. */
const BESIDE_RPM = 500;

interface Place {
  readonly rpm: number;
  readonly offDeg: number | null;
  /** -1 below the band, 0 in it, 1 above; null where the curve is not seen. */
  readonly side: -1 | 0 | 1 | null;
}

function placeAt(fit: CurveFit, target: Target, rpm: number): Place {
  const advanceDeg = fit.predict(rpm);
  if (advanceDeg === null) return { rpm, offDeg: null, side: null };
  const offDeg = advanceDeg - targetAt(target, rpm);
  const side = Math.abs(offDeg) <= target.bandDeg ? 0 : offDeg > 0 ? 1 : -1;
  return { rpm, offDeg, side };
}

/** Neighbours on the same side of the band, together. */
function stretches(places: readonly Place[]): Place[][] {
  const groups: Place[][] = [];
  for (const place of places) {
    const last = groups.at(-1);
    if (last && last[0]!.side === place.side) last.push(place);
    else groups.push([place]);
  }
  return groups;
}

const span = (from: number, to: number): string =>
  Math.round(from) === Math.round(to)
    ? `at ${Math.round(from)} rpm`
    : `from ${Math.round(from)} to ${Math.round(to)} rpm`;

function offStretch(fit: CurveFit, target: Target, places: readonly Place[]): OffStretch {
  const worst = places.reduce((a, b) => (Math.abs(b.offDeg!) > Math.abs(a.offDeg!) ? b : a));
  const [fromRpm, toRpm, atRpm] = [places[0]!.rpm, places.at(-1)!.rpm, worst.rpm];
  const offDeg = worst.offDeg!;
  const beyondBandDeg = Math.abs(offDeg) - target.bandDeg;
  const { low, high } = fit.band(atRpm)!;
  const wanted = targetAt(target, atRpm);
  const sure = offDeg > 0 ? low > wanted + target.bandDeg : high < wanted - target.bandDeg;
  const way = offDeg > 0 ? 'above' : 'below';
  const text =
    `${capital(span(fromRpm, toRpm))} the curve lies ${way} the band, by ${beyondBandDeg.toFixed(1)} degrees at most ` +
    `(at ${Math.round(atRpm)} rpm, ${Math.abs(offDeg).toFixed(1)} degrees ${way} the target)` +
    `${sure ? '.' : '; the readings leave it open whether it truly does.'}`;
  return { fromRpm, toRpm, atRpm, offDeg, beyondBandDeg, sure, text };
}

const capital = (text: string): string => text[0]!.toUpperCase() + text.slice(1);

function unseenStretch(places: readonly Place[]): UnseenStretch {
  const [fromRpm, toRpm] = [places[0]!.rpm, places.at(-1)!.rpm];
  return { fromRpm, toRpm, text: `Not seen ${span(fromRpm, toRpm)}: no readings say where the curve runs.` };
}

/** Speeds to compare at: a fine grid over target and idle, its ends and the corners of both curves. */
function comparedSpeeds(fit: CurveFit, target: Target, idleRpm: number | null): number[] {
  const corners = [...target.corners, ...fit.corners].map((corner) => corner.rpm);
  const ends = idleRpm === null ? corners : [...corners, idleRpm];
  const low = Math.max(GRID_RPM, Math.min(...ends) - (idleRpm === null ? BESIDE_RPM : 0));
  const high = Math.max(...ends) + BESIDE_RPM;
  const grid: number[] = [];
  for (let rpm = Math.ceil(low / GRID_RPM) * GRID_RPM; rpm <= high; rpm += GRID_RPM) grid.push(rpm);
  return [...new Set([low, ...grid, ...corners, high])].sort((a, b) => a - b);
}

/** Compares the curve with the target, from idle (or a little below the first corner) to a little past the last.
 * @param idleRpm null where it is not said
 * @throws RangeError if the target has no corners */
export function compareWithTarget(fit: CurveFit, target: Target, idleRpm: number | null): Comparison {
  targetAt(target, 1);
  const groups = stretches(comparedSpeeds(fit, target, idleRpm).map((rpm) => placeAt(fit, target, rpm)));
  const side = (group: readonly Place[]): Place['side'] => group[0]!.side;
  const off = groups
    .filter((group) => side(group) === 1 || side(group) === -1)
    .map((group) => offStretch(fit, target, group));
  const unseen = groups.filter((group) => side(group) === null).map(unseenStretch);
  const inBand = groups.every((group) => side(group) === null) ? null : off.length === 0;
  return { off, unseen, inBand, text: verdict(inBand, off.length, unseen.length > 0) };
}

function verdict(inBand: boolean | null, off: number, someUnseen: boolean): string {
  if (inBand === null) return 'The readings do not show the curve yet.';
  const where = someUnseen ? ' where it is seen' : '';
  if (inBand) return `The curve lies inside the band${where}.`;
  return `The curve leaves the band${where} in ${off === 1 ? 'one stretch' : `${off} stretches`}.`;
}

/** Whether the advance at idle is the initial timing. */
export interface IdleView {
  readonly idleRpm: number;
  /** What the curve gives at idle; null where it is not seen there. */
  readonly idleDeg: number | null;
  readonly initialDeg: Figure | null;
  readonly startRpm: Figure | null;
  /** true: the weights rest at idle. false: idle lies above the start. null: not known. */
  readonly isInitial: boolean | null;
  readonly text: string;
}

const READ_LOWER = 'Read slower, or pin the weights, to see the initial timing.';

/** @returns null where idle speed is not said */
export function idleView(fit: CurveFit, engine: Pick<EngineFacts, 'idleRpm'>): IdleView | null {
  const { idleRpm } = engine;
  if (idleRpm === null) return null;
  const { initialDeg, startRpm } = fit;
  const idleDeg = fit.predict(idleRpm);
  const isInitial = startRpm !== null ? idleRpm <= startRpm.value : initialDeg !== null ? true : null;
  return { idleRpm, idleDeg, initialDeg, startRpm, isInitial, text: idleText(fit, idleRpm, idleDeg) };
}

function idleText(
  { initialDeg, startRpm, shape }: CurveFit,
  idleRpm: number,
  idleDeg: number | null,
): string {
  const idle = `Idle (${Math.round(idleRpm)} rpm)`;
  const reads =
    idleDeg === null ? '' : `The ${idleDeg.toFixed(1)} degrees at idle are not the initial timing. `;
  if (startRpm !== null && initialDeg !== null && idleRpm > startRpm.value)
    return (
      `${idle} lies above the start (${Math.round(startRpm.value)} rpm): the weights are already off their stop. ` +
      `${reads}The initial timing is ${initialDeg.value.toFixed(1)} degrees.`
    );
  if (initialDeg !== null && startRpm !== null && idleRpm > startRpm.low)
    return `${idle} may lie above the start, which the readings put between ${Math.round(startRpm.low)} and ${Math.round(startRpm.high)} rpm. ${READ_LOWER}`;
  if (initialDeg !== null)
    return `${idle} lies below the start: its ${initialDeg.value.toFixed(1)} degrees are the initial timing.`;
  if (shape === null) return 'The readings do not show yet whether idle lies below the start.';
  return `The initial timing is not seen: the weights may already be off their stop at idle. ${reads.replace('are not', 'may not be')}${READ_LOWER}`;
}
