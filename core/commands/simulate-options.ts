/** The options of `simulate` in, a scenario out. Touches no file. */
import { BadUsage, numberOf, oneOf, textOf, type NumberRange, type OptionValues } from './cli-command';
import { practiceMechanism } from '../practice/practice-distributor';
import { PLAIN_SCENARIO, type AdvanceCurve, type Scenario } from '../scenario/scenario';
import { SPRING_WORDS, STOP_WORDS } from './simulate-help';
import { PRESETS } from './simulate-presets';
import { pointsOf, sensorOf, soundOf } from './simulate-sound-options';
import { listOf, pairsOf, profileOf } from './simulate-words';

/** @throws BadUsage in one plain sentence if an option is no good */
export function scenarioOf(values: OptionValues): Scenario {
  const number = (name: string, from: number, to: number, whole = false): number | null =>
    numberOf(values, name, { from, to, whole } satisfies NumberRange);
  const bits = oneOf(values, 'bits', ['16', '24', '32'], '16');
  const base: Scenario = {
    ...PLAIN_SCENARIO,
    sampleRateHz: number('rate', 8000, 768_000, true) ?? PLAIN_SCENARIO.sampleRateHz,
    bits: bits === '32' ? null : bits === '24' ? 24 : 16,
    seconds: number('seconds', 0, 86_400) ?? PLAIN_SCENARIO.seconds,
    seed: number('seed', 0, Number.MAX_SAFE_INTEGER, true) ?? PLAIN_SCENARIO.seed,
    engine: {
      strokes: oneOf(values, 'stroke', ['4', '2'], '4') === '4' ? 4 : 2,
      cylinders: number('cylinders', 1, 24, true) ?? PLAIN_SCENARIO.engine.cylinders,
      pickup: oneOf(values, 'pickup', ['plug', 'wasted', 'coil', 'sensor'], 'plug'),
    },
  };
  const preset = presetsLaidOn(base, textOf(values, 'preset'));
  const firingDeg = listOf(values, 'firing-deg');
  return {
    ...preset,
    firingDeg: firingDeg ?? preset.firingDeg,
    profile: profileOf(values, preset),
    curve: curveOf(values, preset),
    sparkScatterDeg: number('spark-scatter', 0, 10) ?? preset.sparkScatterDeg,
    misfireShare: number('misfires', 0, 1) ?? preset.misfireShare,
    limiterRpm: number('limiter', 0, 20_000) ?? preset.limiterRpm,
    repeats: values['repeats'] ? { belowRpm: 3000, spacingS: 1e-3, spanDeg: 20 } : preset.repeats,
    points: pointsOf(values, preset),
    sound: soundOf(values, preset.sound),
    sensor: sensorOf(values, preset),
    quietStartS: number('quiet-start', 0, 60) ?? 0,
    quietEndS: number('quiet-end', 0, 60) ?? 0,
  };
}

function presetsLaidOn(scenario: Scenario, names: string | undefined): Scenario {
  return (names?.split(',') ?? []).reduce((so, name) => {
    const preset = Object.hasOwn(PRESETS, name.trim()) ? PRESETS[name.trim()] : undefined;
    if (!preset)
      throw new BadUsage(
        `there is no preset "${name.trim()}"; the presets are ${Object.keys(PRESETS).join(', ')}`,
      );
    return preset.change(so);
  }, scenario);
}

function curveOf(values: OptionValues, preset: Scenario): AdvanceCurve {
  const words = textOf(values, 'curve');
  const fitted = ['initial', 'springs', 'stop'].filter((name) => values[name] !== undefined);
  if (words !== undefined) {
    if (fitted.length > 0) throw new BadUsage(`--curve and --${fitted[0]} cannot both be given`);
    return {
      kind: 'corners',
      corners: pairsOf('curve', words).map(([rpm, advanceDeg]) => ({ rpm, advanceDeg })),
    };
  }
  if (fitted.length === 0 && preset.engine.strokes === 4) return preset.curve;
  const mechanism = practiceMechanism(
    oneOf(values, 'springs', SPRING_WORDS, 'middle'),
    oneOf(values, 'stop', STOP_WORDS, 'middle'),
    preset.engine.strokes,
  );
  return {
    kind: 'mechanism',
    initialDeg: numberOf(values, 'initial', { from: -30, to: 60 }) ?? 10,
    mechanism,
  };
}
