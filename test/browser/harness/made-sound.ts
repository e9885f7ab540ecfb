/** The made sound of each scene that the views are shown in: what the analysis would say of it. */
import type { FollowState, NoRateReason } from '../../../dsp/follow-state';
import type { Latest } from '../../../web/worker/analysis-api';

export const SCENES = [
  'empty',
  'following',
  'listening',
  'lost',
  'recording',
  'practice',
  'refused',
  'sensor',
] as const;
export type Scene = (typeof SCENES)[number];

/** What a crank sensor measured of the same curve: sparks that wander by a third of a degree. */
function sensorOf(): Latest['sensor'] {
  const wander = (i: number): number => 0.33 * Math.sin(12.9898 * i) + 0.2 * Math.sin(78.233 * i);
  const bins = [800, 1000, 1200, 1400, 1600, 2000, 2400, 2800].flatMap((aboutRpm) =>
    (['up', 'down'] as const).map((sweep, way) => ({
      ...{ aboutRpm, sweep, rpm: aboutRpm + 3, sparks: 40, timeS: 20 + aboutRpm / 40, rpmVariance: 2500 },
      advanceDeg: Math.min(34, 12 + Math.max(0, aboutRpm - 1080) * 0.015) + 0.4 * way,
      atMiddleDeg: Math.min(34, 12 + Math.max(0, aboutRpm - 1080) * 0.015) + 0.4 * way,
      scatterDeg: 0.35,
    })),
  );
  return {
    recentDeg: Array.from({ length: 48 }, (_, i) => 16.8 + wander(i)),
    ...{ rpm: 1404, bins, sparks: 640, unknown: 3, beyond: 2, pulses: 1290, missedPulses: 4, isPlaced: true },
  };
}

/** A recording of a coil lead, its points heard closing; in practice the speed has not changed yet. */
function dwellOf(scene: Scene): Latest['dwell'] {
  const dwell = { deg: 29.4, degSd: 0.12, percent: 65.3, percentSd: 0.27, scatterDeg: 0.5, intervals: 512 };
  if (scene === 'recording') return { dwell, reason: null };
  return scene === 'practice' ? { dwell: null, reason: 'speed unchanged' } : null;
}

/** The made sound of a scene; null where nothing has been started. */
export function latestOf(scene: Scene): Latest | null {
  if (scene === 'empty' || scene === 'refused') return null;
  const following =
    scene === 'following' || scene === 'sensor' || scene === 'recording' || scene === 'practice';
  const state: FollowState = following ? 'following' : scene === 'lost' ? 'lost' : 'listening';
  const reason: NoRateReason | null = following ? null : scene === 'lost' ? 'clipping' : 'only hum';
  return {
    session: 1,
    sampleRateHz: 48_000,
    timeS: 83.4,
    rpm: following ? 1404 : null,
    rpmSd: following ? 6.2 : null,
    strikeAgeS: following ? 0.03 : 4.1,
    strike: { timeS: 83.37, amplitude: 0.41 },
    report: {
      state,
      reason,
      peak: scene === 'lost' ? 1 : 0.44,
      rms: scene === 'lost' ? 0.3 : 0.021,
      clippedShare: scene === 'lost' ? 0.034 : 0,
      humAmplitude: following ? 0.004 : 0.21,
      humHz: 50,
      steadyTone: false,
      strikeToNoiseDb: following ? 38.2 : null,
      strikes: 974,
      missed: 3,
      setAside: 12,
      lostSamples: scene === 'lost' ? 1323 : 0,
      slips: 0,
      slippedS: 0,
    },
    channelsIdentical: scene === 'lost',
    channelCount: 2,
    lostBlocks: scene === 'lost' ? 2 : 0,
    lostFrames: scene === 'lost' ? 1323 : 0,
    unheardS: 0,
    strikePicture: Float32Array.from({ length: 192 }, (_, i) => {
      const t = (i - 60) / 48;
      const ring = t < 0 ? 0.02 * Math.sin(i * 2.9) : 0.43 * Math.exp(-t / 0.35) * Math.cos(t * 34);
      return (
        ring +
        0.006 * Math.sin(i * 12.9898) -
        (t > 1.3 ? 0.12 * Math.exp(-(t - 1.3) / 0.2) * Math.cos((t - 1.3) * 30) : 0)
      );
    }),
    rows: {
      fromRow: 0,
      settledRow: 0,
      timeS: new Float64Array(),
      rpm: new Float64Array(),
      rpmSd: new Float64Array(),
    },
    fileProgress: scene === 'recording' ? { share: 0.62, done: false, problem: null, warnings: [] } : null,
    dwell: dwellOf(scene),
    sensor: scene === 'sensor' ? sensorOf() : null,
    keepingProblem: null,
  };
}
