/** Builds the page and serves it on this machine alone, until it is interrupted: `npm start`, or with `-- --port 8080`.
 * A port that is taken, or no port at all, is said in one line. */
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { build, preview } from 'vite';

const HOST = '127.0.0.1';
const USUAL_PORT = '4780';

/** @param {string} line @returns {never} */
function giveUp(line) {
  process.stderr.write(`${line}\n`);
  process.exit(1);
}

/** @returns {number} */
function askedPort() {
  try {
    const { values } = parseArgs({ options: { port: { type: 'string', default: USUAL_PORT } } });
    if (/^\d{1,5}$/.test(values.port) && Number(values.port) <= 65535) return Number(values.port);
    return giveUp(`A port must be a whole number from 0 to 65535, got ${values.port}.`);
  } catch {
    return giveUp('Usage: npm start -- --port N');
  }
}

/** @param {number} port @returns {Promise<string | null>} why it cannot be had; null if it can */
const refusal = (port) =>
  new Promise((resolve) => {
    const probe = createServer();
    probe.once('error', (error) => resolve('code' in error ? String(error.code) : error.message));
    probe.listen(port, HOST, () => probe.close(() => resolve(null)));
  });

/** @param {number} port */
async function refuseBusy(port) {
  const why = await refusal(port);
  if (why === 'EADDRINUSE')
    giveUp(`Port ${port} is taken: stop what uses it, or choose another with npm start -- --port N.`);
  if (why) giveUp(`Port ${port} cannot be used (${why}): choose another with npm start -- --port N.`);
}

const port = askedPort();
await refuseBusy(port); // before the build: nobody waits for a refusal
const configFile = fileURLToPath(new URL('../vite.config.ts', import.meta.url));
await build({ configFile, logLevel: 'error' });
await refuseBusy(port);
const server = await preview({
  configFile,
  logLevel: 'error',
  preview: { host: HOST, port, strictPort: true, open: false },
});
const at = server.httpServer.address();
process.stdout.write(
  `Clampline is at http://${HOST}:${typeof at === 'object' && at ? at.port : port}/ (Ctrl+C ends it)\n`,
);
for (const signal of /** @type {const} */ (['SIGINT', 'SIGTERM']))
  process.once(signal, () => void server.close().finally(() => process.exit(0)));
