/** The command `simulate`: options in, a made recording and its truth out. Touches the machine only through CommandIo. */
import { encodeFrames, wavHeader, wavTail, type WavSpec } from '../../dsp/wav/wav-writer';
import { BadUsage, textOf, type Command, type CommandIo, type OptionValues } from './cli-command';
import type { Scenario } from '../scenario/scenario';
import { simulate, type Simulation, type TrueStrike } from '../scenario/simulate';
import { PRESET_HELP, SIMULATE_OPTIONS } from './simulate-help';
import { scenarioOf } from './simulate-options';

export const simulateCommand: Command = {
  name: 'simulate',
  usage: 'simulate [options] --out FILE.wav',
  summary:
    'Makes a recording of known truth: an engine of your choice through a clamp, with whatever may go wrong',
  options: SIMULATE_OPTIONS,
  more: PRESET_HELP,
  run,
};

const TRUTH_COLUMNS = 'time_s,rpm,rpm_mean,advance_deg,fate,engine_time_s\r\n';
const fixed = (value: number | null, digits: number): string => value?.toFixed(digits) ?? '';
const truthLine = (row: TrueStrike): string =>
  [
    fixed(row.timeS, 9),
    fixed(row.rpm, 4),
    fixed(row.rpmMean, 4),
    fixed(row.advanceDeg, 4),
    row.fate,
    fixed(row.engineTimeS, 9),
  ].join(',') + '\r\n';

/** What a caller's mistake in a scenario is to the person: a wrong command line. */
function made(scenario: Scenario): Simulation {
  try {
    return simulate(scenario);
  } catch (error) {
    if (error instanceof RangeError) throw new BadUsage(`simulate: ${error.message}`);
    throw error;
  }
}

function outputName(files: readonly string[], values: OptionValues): string {
  if (files.length > 0)
    throw new BadUsage(`simulate reads no file, got "${files[0]}"; the recording is named by --out`);
  const out = textOf(values, 'out');
  if (!out) throw new BadUsage('simulate: --out FILE.wav is wanted');
  if (!/\.wav$/i.test(out)) throw new BadUsage(`--out must name a .wav file, got "${out}"`);
  return out;
}

async function run(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean> {
  const out = outputName(files, values);
  const scenario = scenarioOf(values);
  const simulation = made(scenario);
  await write(simulation, out, io);
  const truth = `${out.replace(/\.wav$/i, '')}.truth.json`;
  io.openOutput(truth).write(
    `${JSON.stringify({ format: 'clampline-truth', version: 1, scenario }, null, 2)}\n`,
  );
  return true;
}

async function write(simulation: Simulation, out: string, io: CommandIo): Promise<void> {
  const { sampleRateHz, channelCount, bits, frames } = simulation;
  const spec: WavSpec = { sampleRateHz, channelCount, coding: bits === null ? 'float32' : `int${bits}` };
  const name = out.replace(/\.wav$/i, '');
  const wav = io.openOutput(out);
  const strikes = io.openOutput(`${name}.truth.csv`);
  const pulses = channelCount > 1 ? io.openOutput(`${name}.truth.sensor.csv`) : null;
  wav.write(wavHeader(spec, frames));
  strikes.write(TRUTH_COLUMNS);
  pulses?.write(TRUTH_COLUMNS);
  for (const block of simulation.blocks) {
    wav.write(encodeFrames(spec, block));
    for (const row of simulation.takeStrikes()) strikes.write(truthLine(row));
    for (const row of simulation.takePulses()) pulses?.write(truthLine(row));
    await io.rest();
  }
  wav.write(wavTail(spec, frames));
}
