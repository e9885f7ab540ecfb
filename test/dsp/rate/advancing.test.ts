/** The speed of an engine whose sparks come earlier the faster it goes, by the strikes of its plug lead: swept up and down
 * through the range of its weights. Curve and sweep are common practice; when each spark comes is worked out here. */
import { expect, test } from 'vitest';
import { RateFilter } from '../../../dsp/rate/rate';
import { RateSmoother } from '../../../dsp/rate/rate-smoother';

const [LOW_RPM, HIGH_RPM, HELD_S, SWEEP_S] = [800, 3200, 3, 5];
const TIME_VAR = 1e-12;
const RPM_PER_HZ = 120;

/** Held, swept evenly, held. */
const rpmAt = (timeS: number): number =>
  LOW_RPM + (HIGH_RPM - LOW_RPM) * Math.max(0, Math.min(1, (timeS - HELD_S) / SWEEP_S));
/** Crank degrees turned. */
function turnedAt(timeS: number): number {
  const sweptS = Math.max(0, Math.min(SWEEP_S, timeS - HELD_S));
  const afterS = Math.max(0, timeS - HELD_S - SWEEP_S);
  const mean = LOW_RPM + ((HIGH_RPM - LOW_RPM) * sweptS) / SWEEP_S / 2;
  return 6 * (LOW_RPM * Math.min(timeS, HELD_S) + mean * sweptS + HIGH_RPM * afterS);
}
/** From 10 degrees at 1000 rpm to 34 at 2500: degrees before TDC. */
const advanceAt = (rpm: number): number => 10 + 24 * Math.max(0, Math.min(1, (rpm - 1000) / 1500));

/** When the spark of each second turn comes: the crank then stands its advance before TDC. */
function sparkTimesS(): number[] {
  const times: number[] = [];
  for (let degrees = 720; ; degrees += 720) {
    let [low, high] = [0, HELD_S + SWEEP_S + 4];
    const lacks = (timeS: number): number => degrees - turnedAt(timeS) - advanceAt(rpmAt(timeS));
    if (lacks(high) > 0) return times;
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (lacks(middle) > 0) low = middle;
      else high = middle;
    }
    times.push(low);
  }
}

/** Errors by the deviation told, causal and smoothed, and the deviation as a share of the speed. */
function told(advances: boolean): { off: number[]; smoothedOff: number[]; lastShare: number } {
  const filter = new RateFilter(0.6, advances);
  const [off, smoothedOff]: [number[], number[]] = [[], []];
  const over = (timeS: number, rateHz: number, sdHz: number): number =>
    Math.abs(rateHz - rpmAt(timeS) / RPM_PER_HZ) / sdHz;
  const smoother = new RateSmoother(0.6, filter, Infinity, ({ timeS, rateHz, rateSdHz }) =>
    smoothedOff.push(over(timeS, rateHz, rateSdHz)),
  );
  const times = sparkTimesS();
  filter.reset(times[1]! - times[0]!);
  smoother.reset(times[1]! - times[0]!);
  const corners = [HELD_S, HELD_S + SWEEP_S, HELD_S + SWEEP_S / 12, HELD_S + (SWEEP_S * 17) / 24];
  for (const timeS of times) {
    filter.take(timeS, TIME_VAR);
    smoother.take(timeS, timeS, TIME_VAR);
    // a change that began since the strike before, of the speed or of how the spark's place moves, no filter knows
    const isAtCorner = corners.some((cornerS) => timeS > cornerS && timeS < cornerS + 0.2);
    if (filter.rateHz !== null && !isAtCorner) off.push(over(timeS, filter.rateHz, filter.rateSdHz!));
  }
  smoother.flush();
  return { off, smoothedOff, lastShare: filter.rateSdHz! / filter.rateHz! };
}

test('the speed of an engine whose spark moves while it is swept is within what is told', () => {
  const { off, smoothedOff, lastShare } = told(true);
  expect(off.length).toBeGreaterThan(150);
  expect(Math.max(...off)).toBeLessThan(4);
  expect(smoothedOff.filter((each) => each > 4).length).toBeLessThan(0.02 * smoothedOff.length);
  expect(lastShare).toBeLessThan(1e-4); // held again it adds nothing
});

test('of pulses that do not move the strikes are the speed, and no more is told', () => {
  const { off } = told(false);
  expect(Math.max(...off)).toBeGreaterThan(10); // these do move
});
