/** What `simulate` should let be heard: option texts in, a sound and a sensor out. */
import { BadUsage, numberOf, oneOf, textOf, type OptionValues } from './cli-command';
import { PLAIN_POINTS, type MadePoints } from '../scenario/closing';
import type { CrankSensor, Scenario } from '../scenario/scenario';
import { plain } from './simulate-words';
import { PLAIN_SENSOR, type Sound } from '../scenario/sound';

/** @throws BadUsage if a figure is no good */
export function soundOf(values: OptionValues, preset: Sound): Sound {
  const number = (name: string, from: number, to: number): number | null =>
    numberOf(values, name, { from, to });
  const scaled = (name: string, from: number, to: number, unit: number): number | null => {
    const value = number(name, from, to);
    return value === null ? null : value * unit;
  };
  const { shape } = preset;
  const kick = number('kick', -1, 1) ?? preset.kick?.share ?? 0;
  const hum = number('hum', 0, 100) ?? preset.hum?.share ?? 0;
  const humHz = oneOf(values, 'hum-hz', ['50', '60'], preset.hum?.hz === 60 ? '60' : '50');
  const coupling = number('coupling', 0, 1000);
  return {
    peak: number('peak', 1e-5, 1000) ?? preset.peak,
    amplitudeScatter: number('scatter', 0, 0.45) ?? preset.amplitudeScatter,
    shape: {
      ...shape,
      riseS: scaled('rise', 0.1, 1000, 1e-6) ?? shape.riseS,
      fallS: scaled('fall', 1, 1000, 1e-6) ?? shape.fallS,
      ringHz: number('ring-hz', 100, 20_000) ?? shape.ringHz,
      ringDecayS: scaled('ring-decay', 0.01, 10, 1e-3) ?? shape.ringDecayS,
    },
    kick:
      kick === 0
        ? null
        : { share: kick, delayS: scaled('kick-delay', 0.1, 10, 1e-3) ?? preset.kick?.delayS ?? 1.3e-3 },
    crosstalk: crosstalkOf(values, preset),
    noiseBelowDb: number('noise', -20, 200) ?? preset.noiseBelowDb,
    hum: hum === 0 ? null : { hz: humHz === '60' ? 60 : 50, share: hum },
    whineShare: number('whine', 0, 100) ?? preset.whineShare,
    straysPerSecond: number('strays', 0, 1000) ?? preset.straysPerSecond,
    pumpingDb: number('pumping', 0, 60) ?? preset.pumpingDb,
    acCouplingHz: coupling === 0 ? null : (coupling ?? preset.acCouplingHz),
    inverted: values['invert'] === true || preset.inverted,
    lostPerMinute: number('lost', 0, 600) ?? preset.lostPerMinute,
    clockPpm: number('clock-ppm', -1000, 1000) ?? preset.clockPpm,
  };
}

function crosstalkOf(values: OptionValues, preset: Sound): Sound['crosstalk'] {
  const words = textOf(values, 'crosstalk');
  if (words === undefined) return preset.crosstalk;
  const shares = words
    .split('-')
    .map((each) => plain('crosstalk', each, 'a share such as 0.2, or two such as 0.1-0.3'));
  const [lowest, highest = lowest, ...more] = shares as [number, ...number[]];
  if (more.length > 0 || !(lowest >= 0 && highest >= lowest && highest <= 1))
    throw new BadUsage(`--crosstalk must be a share from 0 to 1, or two such as 0.1-0.3, got "${words}"`);
  return highest === 0 ? null : { lowest, highest };
}

/** Points that are heard closing; null where none are asked for. @throws BadUsage if a figure is no good */
export function pointsOf(values: OptionValues, preset: Scenario): MadePoints | null {
  const dwellDeg = numberOf(values, 'dwell', { from: 0, to: 360 });
  const share = numberOf(values, 'closing', { from: -1, to: 1 });
  if (dwellDeg === null && share !== null) throw new BadUsage('--closing needs --dwell');
  if (dwellDeg === null) return preset.points;
  return { ...PLAIN_POINTS, dwellDeg, share: share ?? PLAIN_POINTS.share };
}

const SENSOR_OPTIONS = [
  ...['reference-deg', 'sensor', 'sensor-width', 'sensor-invert', 'sensor-delay'],
  ...['leak', 'missed', 'extra'],
];

/** The second channel; null where none is asked for. @throws BadUsage if a figure is no good */
export function sensorOf(values: OptionValues, preset: Scenario): CrankSensor | null {
  const channels = oneOf(values, 'channels', ['1', '2'], preset.sensor ? '2' : '1');
  const asked = SENSOR_OPTIONS.filter((name) => values[name] !== undefined);
  const isWanted = channels === '2' || preset.engine.pickup === 'sensor';
  if (!isWanted && asked.length > 0) throw new BadUsage(`--${asked[0]} needs --channels 2`);
  if (!isWanted) return null;
  const start = preset.sensor ?? { ...PLAIN_SENSOR, beforeTdcDeg: 60, missedShare: 0 };
  const widthUs = numberOf(values, 'sensor-width', { from: 10, to: 5000 });
  const delayUs = numberOf(values, 'sensor-delay', { from: 0, to: 10_000 });
  return {
    ...start,
    shape: {
      kind: oneOf(values, 'sensor', ['optical', 'reluctance', 'hall'], start.shape.kind),
      widthS: widthUs === null ? start.shape.widthS : widthUs * 1e-6,
    },
    leakShare: numberOf(values, 'leak', { from: 0, to: 1 }) ?? start.leakShare,
    beforeTdcDeg: numberOf(values, 'reference-deg', { from: 0, to: 359 }) ?? start.beforeTdcDeg,
    missedShare: numberOf(values, 'missed', { from: 0, to: 1 }) ?? start.missedShare,
    extraShare: numberOf(values, 'extra', { from: 0, to: 1 }) ?? start.extraShare,
    inverted: values['sensor-invert'] === true || start.inverted,
    delayS: delayUs === null ? start.delayS : delayUs * 1e-6,
  };
}
