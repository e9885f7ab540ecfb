/** The whole check: types of page, worklet, workers, pure folders and Node files; lint; format. As many parts at once as
 * the machine has cores; each part's words come in one piece, and any that fails fails the whole. */
import { spawn } from 'node:child_process';
import { availableParallelism } from 'node:os';

// The longest first.
const PARTS = [
  'eslint . --max-warnings 0',
  'svelte-check --tsconfig web/tsconfig.json --fail-on-warnings',
  'tsc -p test',
  'prettier --check --log-level warn .',
  'tsc -p core',
  'tsc -p web/tsconfig.worker.json',
  'tsc -p web/tsconfig.worklet.json',
];

/** @returns whether the part passed */
const passes = (part) =>
  new Promise((resolve) => {
    const child = spawn(part, { shell: true }); // npm has put the project's own programs on the path
    const words = [];
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (piece) => words.push(piece));
    child.on('close', (code) => {
      if (code !== 0) console.error(`${part}\n${Buffer.concat(words)}`);
      resolve(code === 0);
    });
  });

const left = [...PARTS];
let failed = 0;
async function work() {
  for (let part = left.shift(); part; part = left.shift()) if (!(await passes(part))) failed++;
}
await Promise.all(Array.from({ length: availableParallelism() }, work));
if (failed > 0) console.error(`${failed} of ${PARTS.length} checks failed`);
process.exitCode = failed > 0 ? 1 : 0;
