/** Words and figures of the Parts view: what a spring is known by, how good a combination is, how forecasts came out. */
import { NORMAL_95 } from '../../../core/curve/student-t';
import type { Figure } from '../../../core/fit';
import type { Job, Spring, Stop } from '../../../core/job';
import { springRate, type SpringRate } from '../../../core/mechanism/spring-rate';
import { useOf } from '../../../core/owned-parts';
import { tens } from '../../../core/shown-figure';
import type { Outcome } from '../../../core/forecast/record';
import type { RankedView } from '../../forecast/forecast-api';
import { countText, degText, intervalText, numberText, percentText } from '../../format';

/** Props of a Figure in degrees. */
export const degFigure = (figure: Figure | null) => ({
  value: figure && numberText(figure.value, 1),
  interval: figure && intervalText(figure.low, figure.high),
  unit: '°',
});
/** Props of a Figure in rpm, to tens. */
export const rpmFigureOf = (figure: Figure | null) => ({
  value: figure && numberText(tens(figure.value)),
  interval: figure && intervalText(tens(figure.low), tens(figure.high), 0),
  unit: 'rpm',
});

const BY: Readonly<Record<SpringRate['by'], string>> = {
  'hung mass': 'mass × 9.807 m/s² ÷ stretch (Hooke’s law)',
  coil: 'G × wire⁴ ÷ (8 × coil³ × active coils), the helical spring formula',
};

export interface RateWords {
  /** N/mm, two digits after the point. */
  readonly value: string;
  /** "1.94 to 2.06", 95 %. */
  readonly interval: string;
  /** The formula it comes from. */
  readonly from: string;
}

/** @returns null where neither a hung mass nor a coil is noted, or what is noted cannot be */
export function rateWords(spring: Pick<Spring, 'hung' | 'coil'>): RateWords | null {
  const rate = springRate(spring);
  if (!rate) return null;
  const half = NORMAL_95 * rate.share * rate.rateNPerMm;
  return {
    value: numberText(rate.rateNPerMm, 2),
    interval: intervalText(Math.max(0, rate.rateNPerMm - half), rate.rateNPerMm + half, 2),
    from: BY[rate.by],
  };
}

const fittedWords = (job: Pick<Job, 'setUps' | 'runs'>, id: string): string => {
  const { setUps, runs } = useOf(job, id);
  if (setUps.length === 0) return 'Not in any set-up';
  const names = setUps.map(({ name }) => `“${name}”`).join(', ');
  return `Fitted in ${names}: ${runs === 0 ? 'no run yet' : countText(runs, 'run')}`;
};

/** What a spring is known by besides its rate: where it was fitted. */
export const springUse = (job: Pick<Job, 'setUps' | 'runs'>, { id }: Spring): string => fittedWords(job, id);

export const stopWords = (job: Pick<Job, 'setUps' | 'runs'>, { id, rangeDeg }: Stop): string =>
  `${rangeDeg === null ? 'Its range is known by runs only' : `Leaves ${degText(rangeDeg)} at the crank`}. ${fittedWords(job, id)}`;

/** How near a combination comes, in one or two words and a figure. */
export function nearWords({ beyondBandDeg, couldBeInside, overLimits }: RankedView): string {
  if (overLimits.length > 0) return 'over your limit';
  if (beyondBandDeg === 0) return 'inside the band';
  return `${degText(beyondBandDeg)} outside${couldBeInside ? ', perhaps inside' : ''}`;
}

/** How much of it is measured and how much is not. */
export function basisWords({ measured, beyondShare }: RankedView): string {
  if (measured) return 'measured together';
  const beyond = Math.round(100 * beyondShare);
  return beyond === 0
    ? 'forecast, nothing beyond what was read'
    : `forecast, ${percentText(beyond / 100)} of the range beyond what was read`;
}

/** A forecast figure beside the one measured later; null where either was not seen. */
export function outcomeWords(outcome: Outcome | null, unit: 'rpm' | '°') {
  if (!outcome) return null;
  const text = (value: number): string => (unit === '°' ? degText(value) : `${numberText(tens(value))} rpm`);
  const whole = ({ value, low, high }: Figure): string =>
    `${text(value)} (${unit === '°' ? intervalText(low, high) : intervalText(tens(low), tens(high), 0)})`;
  const off = outcome.result.value - outcome.forecast.value;
  return {
    forecast: whole(outcome.forecast),
    result: whole(outcome.result),
    off: `${off > 0 ? '+' : ''}${text(off)}`,
    agrees: outcome.agrees,
  };
}
