/** `forecast`: a run's readings in, from a CSV or a job file; the curve with other springs and another stop as one JSON
 * line out. Text in, text out; knows no files of its own. */
import {
  BadInput,
  BadUsage,
  type Command,
  type CommandIo,
  numberOf,
  oneOf,
  type OptionValues,
  textOf,
} from './cli-command';
import { DEG_DIGITS, figureLine, figureOf, rounded, RPM_DIGITS } from './cli-fit';
import { type Source, sourceOf } from './cli-forecast-source';
import { LONGEST_CSV } from '../files/csv';
import { LONGEST_JOB_FILE } from '../files/job-file';
import type { Combination } from '../forecast/drawn';
import { forecast, type Forecast } from '../forecast/forecast';
import type { RunParts } from '../forecast/parameters';
import { mechanismPosterior, NoRamp } from '../forecast/posterior';

/** What is asked for on the command line. */
interface Wish {
  readonly run: string | null;
  readonly factors: readonly [number, number];
  readonly stopRangeDeg: number | null;
  readonly hold: 'total' | 'initial';
}

const FACTOR = { from: 0.05, to: 20 } as const;
const STOP_RANGE_DEG = { from: 1, to: 60 } as const;

/** @throws BadUsage if it is neither a number nor two with a comma between, or out of range */
function factorsOf(values: OptionValues): readonly [number, number] {
  const text = textOf(values, 'spring-factor');
  if (text === undefined) return [1, 1];
  const wanted = `--spring-factor must be a number from ${FACTOR.from} to ${FACTOR.to}, or two with a comma between, got "${text}"`;
  const pieces = text.split(',');
  const numbers = pieces.map((piece) => (/^\s*\+?(\d+\.?\d*|\.\d+)\s*$/.test(piece) ? Number(piece) : NaN));
  if (pieces.length > 2 || numbers.some((q) => !(q >= FACTOR.from && q <= FACTOR.to)))
    throw new BadUsage(wanted);
  return [numbers[0]!, numbers[1] ?? numbers[0]!];
}

const wishOf = (values: OptionValues): Wish => ({
  run: textOf(values, 'run') ?? null,
  factors: factorsOf(values),
  stopRangeDeg: numberOf(values, 'stop-range', STOP_RANGE_DEG),
  hold: oneOf(values, 'hold', ['total', 'initial'] as const, 'total'),
});

/** The parts of a run with other forces, or with another stop. */
function combinationOf({ factors, stopRangeDeg }: Wish, parts: RunParts): Combination {
  const sure = { factorSd: 0, restSd: 0 };
  const { firstSpring, secondSpring, stop } = parts;
  return {
    firstSpring: { like: firstSpring, factor: factors[0], ...sure },
    secondSpring: secondSpring === null ? null : { like: secondSpring, factor: factors[1], ...sure },
    stop: stopRangeDeg === null ? { like: stop } : { rangeDeg: stopRangeDeg },
  };
}

/** The forecast as its JSON line, keys in the order given here. */
export function forecastJson(file: string, source: Source, wish: Wish, result: Forecast): string {
  return JSON.stringify({
    file,
    ...(source.runIds === null ? {} : { run: source.runIds[source.run], fitted_runs: source.runIds }),
    initial_deg: figureOf(result.initialDeg, DEG_DIGITS),
    start_rpm: figureOf(result.startRpm, RPM_DIGITS),
    all_in_rpm: figureOf(result.allInRpm, RPM_DIGITS),
    total_deg: figureOf(result.totalDeg, DEG_DIGITS),
    range_deg: figureOf(result.rangeDeg, DEG_DIGITS),
    curve: result.curve.map(({ rpm, advanceDeg, low, high }) => ({
      rpm,
      advance_deg: rounded(advanceDeg, DEG_DIGITS),
      low: rounded(low, DEG_DIGITS),
      high: rounded(high, DEG_DIGITS),
    })),
    hold: wish.hold,
    beyond_measured_deg: rounded(result.beyondDeg, DEG_DIGITS),
    notes: [...source.notes, ...result.notes],
  });
}

/** The forecast in words: figures, then the curve every 500 rpm. */
export function forecastText(file: string, source: Source, wish: Wish, result: Forecast): string {
  const rows = result.curve.filter(({ rpm }, i) => rpm % 500 === 0 || i === 0);
  return [
    `${file}: forecast, the ${wish.hold} kept`,
    figureLine('initial', result.initialDeg, 1, 'deg'),
    figureLine('start', result.startRpm, 0, 'rpm'),
    figureLine('all-in', result.allInRpm, 0, 'rpm'),
    figureLine('total', result.totalDeg, 1, 'deg'),
    ...rows.map(
      ({ rpm, advanceDeg, low, high }) =>
        `  ${String(rpm).padStart(5)} rpm ${advanceDeg.toFixed(1)} deg (${low.toFixed(1)} to ${high.toFixed(1)})`,
    ),
    ...[...source.notes, ...result.notes].map((note) => `  ${note}`),
  ].join('\n');
}

async function forecastFile(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean> {
  const [file, ...more] = files;
  if (file === undefined || more.length > 0)
    throw new BadUsage(`forecast: one CSV file of readings or one job file is wanted, got ${files.length}`);
  const wish = wishOf(values);
  const text = await io.readText(file, Math.max(LONGEST_CSV, LONGEST_JOB_FILE));
  const source = sourceOf(file, text, wish.run);
  const { runs, run } = source;
  try {
    const posterior = mechanismPosterior(runs);
    const result = forecast(posterior, combinationOf(wish, runs[run]!.parts), wish.hold, run);
    const tell = values['json'] === true ? forecastJson : forecastText;
    io.say(tell(file, source, wish, result));
    return true;
  } catch (error) {
    throw error instanceof NoRamp
      ? new BadInput(`${file}: no forecast from these readings: ${error.message}`)
      : error;
  }
}

export const forecastCommand: Command = {
  name: 'forecast',
  usage:
    'forecast READINGS.csv|JOB.json [--run ID] [--spring-factor Q|Q1,Q2] [--stop-range DEG] [--hold total|initial] [--json]',
  summary: 'Forecasts the advance curve with other springs or another stop, with a 95 % band',
  options: {
    run: {
      type: 'string',
      value: 'ID',
      help: "the job's run to start from; the latest with readings if left out",
    },
    'spring-factor': {
      type: 'string',
      value: 'Q|Q1,Q2',
      help: 'all spring forces times Q; or those of the first spring and of the second',
    },
    'stop-range': { type: 'string', value: 'DEG', help: 'crank degrees that another stop leaves' },
    hold: {
      type: 'string',
      value: 'total|initial',
      help: 'what the housing is set again for: total unless told',
    },
    json: { type: 'boolean', help: 'one JSON line instead of words' },
  },
  more:
    "The mechanism of weights, springs and stop is fitted to the readings: of a job's runs to all that share weights\n" +
    'and parts with the run started from, the vacuum line off, the latest eight at most. What they leave open makes\n' +
    'the band. Each figure is {value, low, high}, the ends of its 95 % interval, or null where the readings do not show\n' +
    'it; curve holds {rpm, advance_deg, low, high} every 50 rpm, a 95 % band for the mean curve.',
  run: forecastFile,
};
