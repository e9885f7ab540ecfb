/** What a forecast rests on, in words: plain sentences, each with its figures. */
import type { Combination, Hold } from './drawn';
import type { Posterior } from './posterior';

export interface ForecastFindings {
  readonly posterior: Posterior;
  readonly run: number;
  readonly fitted: Combination;
  readonly hold: Hold;
  readonly sameStop: boolean;
  readonly rangeDeg: number;
  readonly beyondDeg: number;
}

const deg = (value: number): string => `${value.toFixed(1)} degrees`;
/** Less than this is within what a reading is good to. */
const WORTH_SAYING_DEG = 0.5;
/** Between these a second spring is neither seen nor excluded. */
const OPEN_CHANCE = { from: 0.1, to: 0.9 } as const;

/** @returns sentences, the most important first */
export const forecastNotes = (findings: ForecastFindings): string[] => [
  ...holdNotes(findings),
  ...unseenNotes(findings),
  ...beyondNotes(findings),
  ...secondNotes(findings),
  ...slipNotes(findings),
];

function holdNotes({ posterior, run, hold, sameStop }: ForecastFindings): string[] {
  const { rest, stop } = posterior.reach[run]!;
  if (sameStop || typeof hold === 'object' || (hold === 'total' ? stop : rest)) return [];
  const other = hold === 'total' ? 'initial timing' : 'total';
  return [
    `The ${hold === 'total' ? 'total' : 'initial timing'} is to stay, but the readings do not show it: the band allows for what it may be. Keep the ${other} instead, or read on.`,
  ];
}

function unseenNotes({ posterior, run, sameStop }: ForecastFindings): string[] {
  const { rest, stop } = posterior.reach[run]!;
  const notes: string[] = [];
  if (!rest)
    notes.push(
      'The initial timing and the start are not seen: the weights may already be off their stop at the lowest speed read.',
    );
  if (!stop && sameStop)
    notes.push(
      'The total and the all-in speed are not seen: the readings do not reach the stop, so above the highest speed read the curve is open.',
    );
  return notes;
}

function beyondNotes({ rangeDeg, beyondDeg, sameStop }: ForecastFindings): string[] {
  if (beyondDeg < WORTH_SAYING_DEG || sameStop) return [];
  const share = Math.round((100 * beyondDeg) / rangeDeg);
  return [
    `A range of ${deg(rangeDeg)} goes ${deg(beyondDeg)} (${share} %) beyond what was read with these springs: that stretch of the ramp is drawn on, not measured.`,
  ];
}

function secondNotes({ posterior, run, fitted }: ForecastFindings): string[] {
  const { firstSpring, secondSpring } = fitted;
  const { secondChance } = posterior.reach[run]!;
  if (secondSpring === null || secondSpring.factor === firstSpring.factor) return [];
  if (secondChance < OPEN_CHANCE.from)
    return ['The readings show no second spring taking hold: its factor hardly matters.'];
  if (secondChance > OPEN_CHANCE.to) return [];
  return [
    `Whether a second spring takes hold part of the way up the readings leave open (chance ${Math.round(100 * secondChance)} %): the band allows for both.`,
  ];
}

function slipNotes({ posterior, run }: ForecastFindings): string[] {
  const { points } = posterior.runs[run]!;
  return posterior.setAside[run]!.map((place) => {
    const { rpm, advanceDeg } = points[place]!;
    return `The reading of ${deg(advanceDeg)} at ${Math.round(rpm)} rpm is set aside as a slip.`;
  });
}
