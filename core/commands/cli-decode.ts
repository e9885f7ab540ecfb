/** The decode command: recordings in; strikes, trace and a summary of each out. Knows no Node. */
import { createWavReader, WavError, type WavFacts } from '../../dsp/wav/wav-reader';
import {
  BadInput,
  BadUsage,
  numberOf,
  oneOf,
  textOf,
  type Command,
  type CommandIo,
  type OptionValues,
  type OutputFile,
} from './cli-command';
import { summaryJson, summaryText, type FileSummary } from './cli-decode-summary';
import { strikeRow, STRIKES_HEADER, TRACE_HEADER, traceRow } from '../files/csv-trace';
import { createDecoder, type Decoder } from '../decode';
import type { EngineFacts } from '../engine';

type DecodedEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** Sample rates at which strikes have a shape, hertz. */
const LOWEST_SAMPLE_RATE_HZ = 4000;
const HIGHEST_SAMPLE_RATE_HZ = 1_000_000;

/** What the advance against a crank sensor will need. */
const LATER = ['reference-channel', 'reference-deg', 'advance'];

export const decodeCommand: Command = {
  name: 'decode',
  usage: 'decode FILE.wav... [options]',
  summary: 'Finds the strikes in recordings and follows the engine speed',
  options: {
    stroke: { type: 'string', value: '4|2', help: 'a four- or a two-stroke engine; 4 unless said' },
    cylinders: { type: 'string', value: 'N', help: 'cylinders, 1 to 24; needed with --pickup coil' },
    pickup: {
      type: 'string',
      value: 'plug|wasted|coil|sensor',
      help: 'where the clamp sits: a plug lead (unless said), a wasted-spark lead, the coil lead, a crank sensor',
    },
    channel: {
      type: 'string',
      value: 'N',
      help: 'the channel that carries the clamp, from 1; 1 unless said',
    },
    trace: {
      type: 'string',
      value: 'T.csv',
      help: 'write the speed at each strike: time_s,rpm,rpm_sd,state',
    },
    strikes: { type: 'string', value: 'S.csv', help: 'write the accepted strikes: time_s,amplitude' },
    json: { type: 'boolean', help: 'one line of JSON for each file instead of the summary in words' },
    ...Object.fromEntries(
      LATER.map((name) => [name, { type: 'string', help: 'not built yet', hidden: true }]),
    ),
  },
  more: 'Several files may be given where no output file is named. Times are seconds from the start of the file.',
  run: decodeFiles,
};

interface Plan {
  readonly engine: DecodedEngine;
  /** From 0. */
  readonly channel: number;
  readonly tracePath: string | undefined;
  readonly strikesPath: string | undefined;
  readonly asJson: boolean;
}

async function decodeFiles(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean> {
  const plan = planOf(files, values);
  let allWell = true;
  for (const file of files) {
    try {
      const summary = await decodeFile(file, plan, io);
      for (const warning of summary.warnings) io.warn(`${file}: ${warning}`);
      io.say(plan.asJson ? summaryJson(summary) : summaryText(summary));
    } catch (error) {
      if (files.length === 1 || !(error instanceof BadInput)) throw error;
      io.warn(error.message); // the other files may be good
      allWell = false;
    }
  }
  return allWell;
}

function planOf(files: readonly string[], values: OptionValues): Plan {
  for (const later of LATER)
    if (values[later] !== undefined) throw new BadUsage(`decode: --${later} is not built yet`);
  const plan: Plan = {
    engine: engineOf(values),
    channel: (numberOf(values, 'channel', { from: 1, to: 65535, whole: true }) ?? 1) - 1,
    tracePath: textOf(values, 'trace'),
    strikesPath: textOf(values, 'strikes'),
    asJson: values['json'] === true,
  };
  if (files.length === 0) throw new BadUsage('decode: a WAV file is wanted');
  if (files.length > 1 && (plan.tracePath !== undefined || plan.strikesPath !== undefined))
    throw new BadUsage('decode: with --trace or --strikes one recording at a time is wanted');
  if (plan.tracePath !== undefined && plan.tracePath === plan.strikesPath)
    throw new BadUsage('decode: --trace and --strikes must name two files');
  return plan;
}

function engineOf(values: OptionValues): DecodedEngine {
  const pickup = oneOf(values, 'pickup', ['plug', 'wasted', 'coil', 'sensor'], 'plug');
  const cylinders = numberOf(values, 'cylinders', { from: 1, to: 24, whole: true });
  if (pickup === 'coil' && cylinders === null)
    throw new BadUsage('decode: --pickup coil needs --cylinders, for a coil lead fires for every cylinder');
  const strokes = oneOf(values, 'stroke', ['4', '2'], '4') === '2' ? 2 : 4;
  return { strokes, cylinders: cylinders ?? 1, pickup };
}

async function decodeFile(file: string, plan: Plan, io: CommandIo): Promise<FileSummary> {
  const trace = plan.tracePath === undefined ? null : io.openOutput(plan.tracePath);
  const strikes = plan.strikesPath === undefined ? null : io.openOutput(plan.strikesPath);
  trace?.write(TRACE_HEADER);
  strikes?.write(STRIKES_HEADER);
  let decoder: Decoder | null = null;
  const reader = createWavReader(
    {
      facts: (facts) => (decoder = decoderFor(facts, plan.engine, trace, strikes)),
      block: ([samples]) => decoder!.push(samples!),
    },
    [plan.channel],
  );
  try {
    for await (const bytes of io.readBytes(file)) {
      reader.push(bytes);
      if (reader.done) break;
    }
    reader.finish();
  } catch (error) {
    throw error instanceof WavError ? new BadInput(`${file}: ${error.message}`) : error;
  }
  decoder!.finish();
  return {
    file,
    facts: reader.facts!,
    frames: reader.frames,
    warnings: reader.warnings,
    channel: plan.channel,
    ...decoder!.summary(),
  };
}

function decoderFor(
  { sampleRateHz }: WavFacts,
  engine: DecodedEngine,
  trace: OutputFile | null,
  strikes: OutputFile | null,
): Decoder {
  if (sampleRateHz < LOWEST_SAMPLE_RATE_HZ || sampleRateHz > HIGHEST_SAMPLE_RATE_HZ)
    throw new WavError(
      `has a sample rate of ${sampleRateHz} Hz; strikes can be followed from ${LOWEST_SAMPLE_RATE_HZ} to ${HIGHEST_SAMPLE_RATE_HZ} Hz`,
    );
  try {
    return createDecoder(
      { sampleRateHz, engine },
      {
        strike: (timeS, amplitude) => strikes?.write(strikeRow(timeS, amplitude)),
        row: (timeS, rpm, rpmSd, state) => trace?.write(traceRow(timeS, rpm, rpmSd, state)),
      },
    );
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // the engine's figures were checked: it is the rate
    throw new WavError(
      `has a sample rate of ${sampleRateHz} Hz, too low for as many strikes as this engine may give`,
    );
  }
}
