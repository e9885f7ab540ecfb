/** Makes the samples beside this file, or in the folder named: recordings through the command line, the job by its own
 * maker. The same files, bit for bit, each time. */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { serialiseJob } from '../core/files/job-file';
import { sampleJob } from './job';
import { SAMPLE_RECIPES } from './recipes';

const COMMAND_LINE = resolve(import.meta.dirname, '../core/clampline.mjs');

/** @param folder an existing one */
export function makeSamples(folder: string): void {
  for (const { name, options } of SAMPLE_RECIPES)
    execFileSync(process.execPath, [
      COMMAND_LINE,
      'simulate',
      ...options,
      '--out',
      join(folder, `${name}.wav`),
    ]);
  writeFileSync(join(folder, 'two-evenings.json'), serialiseJob(sampleJob()));
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  makeSamples(process.argv[2] ?? import.meta.dirname);
