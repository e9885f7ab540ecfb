/** From a trace to what its plot draws: the stretch in view thinned to the screen, its ranges, a sentence about it. */
import type { TraceView } from '../state/contracts';
import { decimate, firstAt, type Drawn } from './decimate';
import type { Stretch } from './stretch';

/** The stretch in view, thinned to about two points a CSS pixel.
 * @param lastS seconds up to the newest row; null for all
 * @param widthPx the plot's width */
export function traceColumns(trace: TraceView, lastS: number | null, widthPx: number): Drawn {
  const count = trace.timeS.length;
  const newestS = trace.timeS[count - 1] ?? 0;
  return thinned(trace, lastS === null ? 0 : firstAt(trace.timeS, newestS - lastS), count, widthPx);
}

/** As `traceColumns`, for any stretch of time; a row beyond each end, so that the line runs out of the picture. */
export function stretchColumns(trace: TraceView, [fromS, toS]: Stretch, widthPx: number): Drawn {
  const from = Math.max(0, firstAt(trace.timeS, fromS) - 1);
  const to = Math.min(trace.timeS.length, firstAt(trace.timeS, toS) + 1);
  return thinned(trace, from, to, widthPx);
}

const thinned = (trace: TraceView, from: number, to: number, widthPx: number): Drawn =>
  decimate({ timeS: trace.timeS, value: trace.rpm, sd: trace.rpmSd }, from, to, Math.max(1, widthPx));

export interface TraceRange {
  readonly timeS: readonly [number, number];
  readonly rpm: readonly [number, number];
}

/** The range in round hundreds that holds the line and the step to hold, at least 400 rpm high. */
export function traceRange(drawn: Drawn, lastS: number | null, stepRpm: number | null): TraceRange {
  const known = drawn.value.filter((value) => value !== null);
  if (stepRpm !== null) known.push(stepRpm);
  let [low, high] = [Infinity, -Infinity];
  for (const value of known) [low, high] = [Math.min(low, value), Math.max(high, value)];
  if (!(low <= high)) [low, high] = [0, 1000];
  const middle = (low + high) / 2;
  low = Math.max(0, Math.floor((Math.min(low, middle - 160) - 40) / 100) * 100);
  high = Math.ceil((Math.max(high, middle + 160) + 40) / 100) * 100;
  const newestS = drawn.timeS.at(-1) ?? 0;
  const oldestS = drawn.timeS[0] ?? 0;
  const spanS = lastS ?? Math.max(10, newestS - oldestS);
  return {
    timeS: [Math.max(oldestS, newestS - spanS), Math.max(newestS, oldestS + spanS)],
    rpm: [low, high],
  };
}

/** What a person who does not see the plot is told. */
export function traceSentence(trace: TraceView, lastS: number | null): string {
  const newestS = trace.timeS.at(-1) ?? 0;
  const from = lastS === null ? 0 : firstAt(trace.timeS, newestS - lastS);
  const span = lastS === null ? 'over the whole run' : `over the last ${lastS} seconds`;
  const { rpm } = trace;
  let [low, high] = [Infinity, -Infinity];
  for (let i = from; i < rpm.length; i++) {
    const speed = rpm[i]!; // NaN is neither below nor above
    if (speed < low) low = speed;
    if (speed > high) high = speed;
  }
  if (!(low <= high)) return `Speed ${span}: none yet.`;
  return `Speed ${span}: between ${Math.round(low)} and ${Math.round(high)} rpm.`;
}
