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
import { createFileDecoder, referenceOf, type FileDecoder, type Reference } from './cli-decode-reference';
import {
  ADVANCE_HEADER,
  advanceRow,
  strikeRow,
  STRIKES_HEADER,
  TRACE_HEADER,
  traceRow,
} from '../files/csv-trace';
import type { EngineFacts } from '../engine';

type DecodedEngine = Pick<EngineFacts, 'strokes' | 'cylinders' | 'pickup'>;

/** Sample rates at which strikes have a shape, hertz. */
const LOWEST_SAMPLE_RATE_HZ = 4000;
const HIGHEST_SAMPLE_RATE_HZ = 1_000_000;

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
    'reference-channel': {
      type: 'string',
      value: 'N',
      help: 'the channel that carries a crank sensor, one pulse a turn; needs --reference-deg',
    },
    'reference-deg': {
      type: 'string',
      value: 'DEG',
      help: 'crank degrees before TDC at which the leading edge of its pulse passes half its height',
    },
    'reference-delay-us': {
      type: 'string',
      value: 'US',
      help: 'the sensor is heard so much later than the clamp; 0 unless said',
    },
    advance: {
      type: 'string',
      value: 'A.csv',
      help: 'write the advance of every spark: time_s,rpm,advance_deg',
    },
  },
  more: 'Several files may be given where no output file is named. Times are seconds from the start of the file.',
  run: decodeFiles,
};

interface Plan {
  readonly engine: DecodedEngine;
  /** From 0. */
  readonly channel: number;
  readonly reference: Reference | null;
  readonly tracePath: string | undefined;
  readonly strikesPath: string | undefined;
  readonly advancePath: string | undefined;
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
  const engine = engineOf(values);
  const channel = (numberOf(values, 'channel', { from: 1, to: 65535, whole: true }) ?? 1) - 1;
  const plan: Plan = {
    engine,
    channel,
    reference: referenceOf(values, engine, channel),
    tracePath: textOf(values, 'trace'),
    strikesPath: textOf(values, 'strikes'),
    advancePath: textOf(values, 'advance'),
    asJson: values['json'] === true,
  };
  checkOutputs(files, plan);
  return plan;
}

function checkOutputs(
  files: readonly string[],
  { tracePath, strikesPath, advancePath, reference }: Plan,
): void {
  if (files.length === 0) throw new BadUsage('decode: a WAV file is wanted');
  const named = Object.entries({ trace: tracePath, strikes: strikesPath, advance: advancePath }).filter(
    ([, path]) => path !== undefined,
  );
  const names = named.map(([name]) => `--${name}`);
  if (files.length > 1 && named.length > 0)
    throw new BadUsage(`decode: with ${names.join(' or ')} one recording at a time is wanted`);
  if (new Set(named.map(([, path]) => path)).size < named.length)
    throw new BadUsage(`decode: ${names.join(' and ')} must name different files`);
  if (advancePath !== undefined && !reference)
    throw new BadUsage('decode: --advance needs --reference-channel and --reference-deg, a crank sensor');
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
  const outputs = openOutputs(plan, io);
  const { reference } = plan;
  let decoder: FileDecoder | null = null;
  const reader = createWavReader(
    {
      facts: (facts) => (decoder = decoderFor(facts, plan, outputs)),
      block: ([clamp, sensor]) => decoder!.push(clamp!, sensor),
    },
    reference ? [plan.channel, reference.channel] : [plan.channel],
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

interface Outputs {
  readonly trace: OutputFile | null;
  readonly strikes: OutputFile | null;
  readonly advance: OutputFile | null;
}

function openOutputs({ tracePath, strikesPath, advancePath }: Plan, io: CommandIo): Outputs {
  const open = (path: string | undefined, header: string): OutputFile | null => {
    const file = path === undefined ? null : io.openOutput(path);
    file?.write(header);
    return file;
  };
  return {
    trace: open(tracePath, TRACE_HEADER),
    strikes: open(strikesPath, STRIKES_HEADER),
    advance: open(advancePath, ADVANCE_HEADER),
  };
}

function decoderFor({ sampleRateHz }: WavFacts, plan: Plan, outputs: Outputs): FileDecoder {
  if (sampleRateHz < LOWEST_SAMPLE_RATE_HZ || sampleRateHz > HIGHEST_SAMPLE_RATE_HZ)
    throw new WavError(
      `has a sample rate of ${sampleRateHz} Hz; strikes can be followed from ${LOWEST_SAMPLE_RATE_HZ} to ${HIGHEST_SAMPLE_RATE_HZ} Hz`,
    );
  const { trace, strikes, advance } = outputs;
  try {
    return createFileDecoder(sampleRateHz, plan.engine, plan.reference, {
      strike: (timeS, amplitude) => strikes?.write(strikeRow(timeS, amplitude)),
      ...(trace && {
        smoothed: (timeS, rpm, rpmSd, state) => trace.write(traceRow(timeS, rpm, rpmSd, state)),
      }),
      advance: (timeS, rpm, advanceDeg) => advance?.write(advanceRow(timeS, rpm, advanceDeg)),
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // the engine's figures were checked: it is the rate
    throw new WavError(
      `has a sample rate of ${sampleRateHz} Hz, too low for as many strikes as this engine may give`,
    );
  }
}
