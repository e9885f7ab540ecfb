/** What the trace shows at one moment, as figures and as words. */
import { rpmFigure, rpmSdText } from '../format';
import type { TraceView } from '../state/contracts';
import { firstAt } from './decimate';

/** The row at a moment: the last one up to it; −1 where the trace begins later. */
export function rowAt({ timeS }: Pick<TraceView, 'timeS'>, atS: number): number {
  const next = firstAt(timeS, atS);
  return timeS[next] === atS ? next : next - 1;
}

/** Seconds as on a clock, "1:07.3". */
export function clockText(timeS: number): string {
  const tenths = Math.round(timeS * 10);
  const seconds = ((tenths % 600) / 10).toFixed(1).padStart(4, '0');
  return `${Math.floor(tenths / 600)}:${seconds}`;
}

/** One line: the moment, then the speed with its standard deviation. */
export function traceAtWords(trace: TraceView, atS: number): string {
  const row = rowAt(trace, atS);
  const [rpm, sd] = [trace.rpm[row] ?? NaN, trace.rpmSd[row] ?? NaN];
  const speed = Number.isNaN(rpm)
    ? 'no speed here'
    : `${rpmFigure(rpm)} rpm ${Number.isNaN(sd) ? '' : rpmSdText(sd)}`;
  return `${clockText(atS)} min: ${speed}`.trimEnd();
}
