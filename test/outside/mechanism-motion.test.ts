/** The balance that the mechanism gives, against the motion itself: weights, springs and a damper set free and followed
 * by their equation of motion until they rest. Nothing of the balance, its formula or its root is used. */
import { expect, test } from 'vitest';
import { advanceAtSpeed, type Mechanism, type SwingingWeights } from '../../core/mechanism';

const WEIGHTS: SwingingWeights = {
  ...{ kind: 'swinging', count: 2, massKg: 0.045, pinRadiusMm: 22, armMm: 16 },
  ...{ restAngleDeg: 68, swingPerDeg: 2.2 },
};
const MECHANISM: Mechanism = {
  strokes: 4,
  weights: WEIGHTS,
  springs: { preloadNm: 0.11, rateNmPerDeg: 0.05, second: { rateNmPerDeg: 0.07, slackDeg: 4 } },
  stopRangeDeg: 22,
};

/** Acceleration of one swinging weight about its pin, rad/s², by potential energy in the turning frame: the centrifugal
 * potential −½ m w² r² of each centre of mass, differentiated by a small step, and the springs' pull. */
function accelerationOf(shaftRadS: number): (swing: number, rate: number) => number {
  const { count, massKg, pinRadiusMm, armMm, restAngleDeg, swingPerDeg } = WEIGHTS;
  const [pin, arm] = [pinRadiusMm / 1000, armMm / 1000];
  const radiusSquared = (swing: number): number => {
    const angle = (restAngleDeg * Math.PI) / 180 + swing;
    const [x, y] = [pin - arm * Math.cos(angle), arm * Math.sin(angle)];
    return x * x + y * y;
  };
  const step = 1e-5;
  const inertia = count * massKg * arm * arm;
  return (swing, rate) => {
    const slope = (radiusSquared(swing + step) - radiusSquared(swing - step)) / (2 * step);
    const outwards = 0.5 * count * massKg * shaftRadS ** 2 * slope;
    const deg = (swing * 180) / Math.PI / swingPerDeg;
    const { preloadNm, rateNmPerDeg, second } = MECHANISM.springs;
    const held = preloadNm + rateNmPerDeg * deg + second!.rateNmPerDeg * Math.max(0, deg - second!.slackDeg);
    return (outwards - held - 0.004 * rate) / inertia;
  };
}

/** Crank degrees at which the weights come to rest, let go at the inner stop. */
function restsAt(rpm: number): number {
  const acceleration = accelerationOf(((rpm / 2) * 2 * Math.PI) / 60);
  const most = ((MECHANISM.stopRangeDeg / 2) * WEIGHTS.swingPerDeg * Math.PI) / 180;
  let [swing, rate] = [0, 0];
  const dt = 2e-4;
  for (let i = 0; i < 20_000; i++) {
    // two half kicks about a drift; the damper takes the swing out within some tenths of a second
    rate += (dt / 2) * acceleration(swing, rate);
    swing += dt * rate;
    if (swing < 0 || swing > most) [swing, rate] = [Math.min(Math.max(swing, 0), most), 0];
    rate += (dt / 2) * acceleration(swing, rate);
  }
  return (2 * ((swing * 180) / Math.PI)) / WEIGHTS.swingPerDeg;
}

test('weights set free come to rest where the balance of moments puts them', () => {
  for (let rpm = 800; rpm <= 4400; rpm += 150)
    // the step that differentiates the potential leaves some 1e-9; the damped swing dies below 1e-6 in 4 s
    expect(restsAt(rpm), `${rpm} rpm`).toBeCloseTo(advanceAtSpeed(MECHANISM, rpm), 4);
});
