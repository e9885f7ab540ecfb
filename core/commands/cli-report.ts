/** `report`: a job file in, one page of HTML about one of its runs out. Text in, text out; knows no files of its own. */
import { BadInput, BadUsage, type Command, type CommandIo, type OptionValues, textOf } from './cli-command';
import { LONGEST_JOB_FILE, parseJob } from '../files/job-file';
import { reportHtml } from '../report/report';

async function report(files: readonly string[], values: OptionValues, io: CommandIo): Promise<boolean> {
  const [file] = files;
  if (file === undefined || files.length > 1)
    throw new BadUsage(`report: one job file is wanted, ${files.length} are given`);
  const out = textOf(values, 'out');
  if (!out) throw new BadUsage('report: --out FILE.html is wanted, the file to write');
  const runId = textOf(values, 'run') ?? null;
  const read = parseJob(await io.readText(file, LONGEST_JOB_FILE));
  if ('problem' in read) throw new BadInput(`${file}: ${read.problem}`);
  const { job } = read;
  if (runId !== null && !job.runs.some(({ id }) => id === runId)) {
    const ids = job.runs.map(({ id }) => id).join(', ');
    throw new BadInput(`${file}: has no run "${runId}"; its runs are ${ids || 'none'}`);
  }
  io.openOutput(out).write(reportHtml(job, { runId }));
  return true;
}

export const reportCommand: Command = {
  name: 'report',
  usage: 'report JOB.json --out report.html [--run ID]',
  summary: 'Writes a one-page report of a run, to print on A4 or Letter or to keep',
  options: {
    out: { type: 'string', value: 'FILE.html', help: 'the file to write' },
    run: { type: 'string', value: 'ID', help: 'the run to report; the latest with readings unless told' },
  },
  more:
    'The page holds the curve, figures with 95 % intervals, the set-up, what changed since the run before, the order\n' +
    'of work with its advice, the readings and cautions. It is whole in itself and runs no scripts.',
  run: report,
};
