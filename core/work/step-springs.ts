/** The fourth step: a wrong rate is cured by the springs. The speeds at which the advance starts and has half grown in;
 * how much lighter or heavier the springs have to be out. */
import { KNOCK, MAKER, STOPPED } from '../advice';
import { HIGHEST_RPM } from '../engine';
import type { CurveFit, Figure } from '../fit';
import type { Target } from '../job';
import { knockBlock } from '../knock-guard';
import { targetAt } from '../target';
import type { WorkFacts } from './work-facts';
import { exactly, said, saidFigure, shows, type WorkFigure, type WorkStep } from './work-step';

/** The lowest speed at which a rising curve reaches an advance; null where it never does.
 * @param at the curve's advance at a speed; null: not seen */
function speedAt(at: (rpm: number) => number | null, deg: number): number | null {
  let [low, high] = [1, HIGHEST_RPM];
  const top = at(high);
  if (top === null || top < deg) return null;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    const there = at(middle);
    if (there !== null && there >= deg) high = middle;
    else low = middle;
  }
  return high;
}

/** The speed at which the measured curve reaches an advance, its interval where the band's edges do. */
function speedFigure(fit: CurveFit, deg: number): Figure | null {
  const value = speedAt(fit.predict, deg);
  const low = speedAt((rpm) => fit.band(rpm)?.high ?? null, deg);
  const high = speedAt((rpm) => fit.band(rpm)?.low ?? null, deg);
  return value === null || low === null || high === null
    ? null
    : { value, low: Math.min(low, value), high: Math.max(high, value) };
}

/** One place on the ramp, measured and wanted. */
interface Place {
  readonly name: string;
  readonly now: Figure;
  readonly wantedRpm: number;
  /** How far off still passes, rpm. */
  readonly bandRpm: number;
  /** All spring forces times this bring it there. */
  readonly factor: Figure;
}

/** @source Equilibrium of a weight against its springs: all forces times q bring every speed on the ramp to √q */
function placeOf(name: string, now: Figure, wantedRpm: number, bandRpm: number): Place {
  const q = (rpm: number): number => (wantedRpm / rpm) ** 2;
  const factor = { value: q(now.value), low: q(now.high), high: q(now.low) };
  return { name, now, wantedRpm, bandRpm, factor };
}

interface Places {
  /** How much the advance has grown half-way, crank degrees. */
  readonly halfDeg: number;
  readonly start: Place;
  readonly half: Place;
}

/** Start and half-way; null where the readings don't show them or the target does not rise. */
function placesOf({ fit, target, wanted }: WorkFacts): Places | null {
  const { initialDeg, startRpm, rangeDeg } = fit;
  const from = targetAt(target, 0);
  if (initialDeg === null || startRpm === null || rangeDeg === null || !(wanted.rangeDeg > 0)) return null;
  const halfDeg = Math.min(rangeDeg.value, wanted.rangeDeg, targetAt(target, Infinity) - from) / 2;
  const wantedStart = targetStart(target);
  const wantedHalf = speedAt((rpm) => targetAt(target, rpm), from + halfDeg);
  const half = speedFigure(fit, initialDeg.value + halfDeg);
  if (wantedHalf === null || half === null || !(halfDeg > 0)) return null;
  const bandRpm = (target.bandDeg * (wantedHalf - wantedStart)) / halfDeg;
  return {
    halfDeg,
    start: placeOf('Start', startRpm, wantedStart, bandRpm),
    half: placeOf('Half risen', half, wantedHalf, bandRpm),
  };
}

/** Where the target begins to rise. */
function targetStart({ corners }: Target): number {
  const next = corners.findIndex(({ advanceDeg }) => advanceDeg > corners[0]!.advanceDeg);
  return corners[Math.max(0, next - 1)]!.rpm;
}

const figuresOf = ({ name, now, wantedRpm, factor }: Place, off: boolean): WorkFigure[] => [
  { name: `${name} now`, unit: 'rpm', figure: now },
  { name: `${name} wanted`, unit: 'rpm', figure: exactly(wantedRpm) },
  ...(off ? [{ name: `${name}: spring forces times`, unit: 'times', figure: factor } as const] : []),
];

function sentenceOf({ name, now, wantedRpm, factor }: Place): string {
  const kind = factor.value < 1 ? 'lighter' : 'heavier';
  return `${name}: ${saidFigure(now, 'rpm')} rpm now, ${said(wantedRpm, 'rpm')} wanted: ${kind} springs, forces times ${said(factor.value, 'times')}.`;
}

/** Choose the springs.
 * @source Common practice: lighter springs bring the advance in sooner, heavier ones later */
export function springsStep(facts: WorkFacts): WorkStep {
  const { fit, knocks } = facts;
  const step = { key: 'springs', title: 'Choose the springs' } as const;
  const places = placesOf(facts);
  if (places === null)
    return {
      ...step,
      figures: [
        { name: 'Start now', unit: 'rpm', figure: fit.startRpm },
        { name: 'All-in now', unit: 'rpm', figure: fit.allInRpm },
      ],
      ...{ state: 'not seen', sentences: [], cautions: [] },
      asks: [
        facts.wanted.rangeDeg > 0 ? RAMP_WANTED : 'The target does not rise: it asks nothing of the springs.',
      ],
    };
  const both = [places.start, places.half];
  const off = both.filter(({ now, wantedRpm, bandRpm }) => !shows(now, wantedRpm, bandRpm));
  const figures = [
    { name: 'Half of the rise', unit: 'deg', figure: exactly(places.halfDeg) } as const,
    ...both.flatMap((place) => figuresOf(place, off.includes(place))),
  ];
  if (off.length === 0) return { ...step, figures, state: 'done', sentences: [], asks: [], cautions: [] };
  const quickest = 1 / Math.sqrt(Math.min(...off.map(({ factor }) => factor.value)));
  const block = knockBlock(knocks, (rpm) => {
    const [now, then] = [fit.predict(rpm), fit.predict(rpm * quickest)];
    return now === null || then === null ? null : then - now;
  });
  if (block) return { ...step, figures, state: 'blocked', sentences: [], asks: [], cautions: [block.text] };
  return {
    ...{ ...step, figures, state: 'do', sentences: off.map(sentenceOf), asks: [] },
    cautions: quickest > 1 ? [KNOCK, STOPPED, MAKER] : [STOPPED, MAKER],
  };
}

const RAMP_WANTED = 'Take readings from below the start to past the all-in: the ramp is not whole yet.';
