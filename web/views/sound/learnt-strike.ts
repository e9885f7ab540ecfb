/** The learnt strike as lines and marks of a drawing: what is heard in, SVG paths and places out; and the same in words.
 * Knows no colours. */
import type { HeardSignal } from '../../../core/decode-heard';
import { roundStep } from '../../../core/drawing/svg-parts';
import { numberText, percentText } from '../../format';

/** Margins for the figures at the left and below. */
const LEFT_PX = 52;
const BELOW_PX = 30;
const ABOVE_PX = 6;
/** Nineteen strikes in twenty lie so many standard deviations about the shape (normal). */
const BAND_SD = 2;
const TICKS = 4;
/** A strike is over, for the words, where it has fallen to this share. */
const OVER_SHARE = 0.1;

export interface StrikeDrawing {
  readonly line: string;
  /** The outline of where single strikes lie. */
  readonly band: string;
  readonly zeroPx: number;
  readonly leftPx: number;
  /** The tape's edge. */
  readonly footPx: number;
  /** Half the noise strip's height about zero; null where it is not known. */
  readonly noisePx: number | null;
  /** Heights of other leads, above and below; empty: none seen. */
  readonly neighboursPx: readonly number[];
  readonly sizeTicks: readonly { readonly atPx: number; readonly text: string }[];
  readonly timeTicks: readonly { readonly atPx: number; readonly text: string | null }[];
}

interface Spread {
  readonly middle: number[];
  readonly half: number[];
}

/** Shape and band in shares of full scale. */
function spreadOf({ strike, figures }: HeardSignal): Spread {
  const { height, heightScatter } = figures;
  const middle = Array.from(strike.shape, (value) => value * height);
  const half = middle.map((value, i) =>
    Math.hypot(BAND_SD * heightScatter * value, BAND_SD * height * strike.scatter[i]!),
  );
  return { middle, half };
}

/** @param widthPx and heightPx of the whole drawing, figures included */
export function strikeDrawing(heard: HeardSignal, widthPx: number, heightPx: number): StrikeDrawing {
  const { strike, figures } = heard;
  const { middle, half } = spreadOf(heard);
  const noise = figures.overNoiseDb === null ? null : figures.height * 10 ** (-figures.overNoiseDb / 20);
  const neighbour = (figures.neighbourShare ?? 0) * figures.height;
  const least = Math.max(neighbour, noise ?? 0);
  const top = 1.05 * middle.reduce((most, value, i) => Math.max(most, value + half[i]!), least);
  const bottom = 1.05 * middle.reduce((most, value, i) => Math.min(most, value - half[i]!), -least);
  const footPx = heightPx - BELOW_PX;
  const yOf = (share: number): number => ABOVE_PX + ((top - share) / (top - bottom)) * (footPx - ABOVE_PX);
  const lastS = (strike.shape.length - 1) / strike.pointsPerS;
  const xOf = (timeS: number): number => LEFT_PX + (timeS / lastS) * (widthPx - LEFT_PX - 1);
  const point = (i: number, share: number): string =>
    `${xOf(i / strike.pointsPerS).toFixed(1)} ${yOf(share).toFixed(1)}`;
  const upper = middle.map((value, i) => point(i, value + half[i]!));
  const lower = middle.map((value, i) => point(i, value - half[i]!)).reverse();
  return {
    line: `M${middle.map((value, i) => point(i, value)).join('L')}`,
    band: `M${[...upper, ...lower].join('L')}Z`,
    ...{ zeroPx: yOf(0), leftPx: LEFT_PX, footPx },
    noisePx: noise === null ? null : yOf(0) - yOf(noise),
    neighboursPx: neighbour > 0 ? [yOf(neighbour), yOf(-neighbour)] : [],
    sizeTicks: sizeTicks(bottom, top).map((share) => ({
      atPx: yOf(share),
      text: percentFigure(share, roundStep(top - bottom, TICKS)),
    })),
    timeTicks: timeTicks(-strike.alignedAtS, lastS - strike.alignedAtS).map(({ atUs, isLong }) => ({
      atPx: xOf(atUs * 1e-6 + strike.alignedAtS),
      text: isLong ? `${numberText(atUs)}${atUs === 0 ? '' : ' µs'}` : null,
    })),
  };
}

function sizeTicks(bottom: number, top: number): number[] {
  const step = roundStep(top - bottom, TICKS);
  const first = Math.ceil(bottom / step);
  return Array.from({ length: Math.floor(top / step) - first + 1 }, (_, i) => (first + i) * step);
}

const percentFigure = (share: number, step: number): string =>
  `${numberText(100 * share, step >= 0.01 ? 0 : step >= 0.001 ? 1 : 2)} %`;

function timeTicks(fromS: number, toS: number): { atUs: number; isLong: boolean }[] {
  const [from, to] = [Math.ceil(fromS / 50e-6), Math.floor(toS / 50e-6)];
  return Array.from({ length: to - from + 1 }, (_, i) => ({
    atUs: 50 * (from + i),
    isLong: (from + i) % 4 === 0,
  }));
}

/** The drawing in words, for who cannot see it. */
export function strikeWords(heard: HeardSignal): string {
  const { strike, figures } = heard;
  const { height, heightScatter, neighbourShare, overNoiseDb } = figures;
  const size = Array.from(strike.shape, Math.abs);
  const lastTall = size.findLastIndex((value) => value > OVER_SHARE);
  const overUs = Math.max(0, 1e6 * (lastTall / strike.pointsPerS - strike.alignedAtS));
  const leads =
    neighbourShare === null
      ? 'no other lead is seen'
      : `other leads reach ${percentText(neighbourShare * height)}`;
  const noise =
    overNoiseDb === null
      ? ''
      : `, the noise ${percentText(height * 10 ** (-overNoiseDb / 20))} of full scale`;
  return (
    `The strike reaches ${percentText(height)} of full scale ${figures.pointsDown ? 'downwards ' : ''}` +
    `and is over after ${numberText(Math.round(overUs / 10) * 10)} µs. ` +
    `Single strikes differ by ${percentText(heightScatter)}; ${leads}${noise}.`
  );
}
