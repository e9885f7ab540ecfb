/** The command line as a process of its own: streams, exit codes, files. What the commands compute is tested apart. */
import { execFile, spawn } from 'node:child_process';
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { encodeFrames, wavHeader, type WavSpec } from '../../dsp/wav/wav-writer';

const ROOT = resolve(import.meta.dirname, '../..');
const LAUNCHER = join(ROOT, 'core/clampline.mjs');
const home = mkdtempSync(join(tmpdir(), 'clampline-cli-'));
afterAll(() => {
  rmSync(home, { recursive: true, force: true });
});

interface Outcome {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the command line in a folder other than the project's. */
const cli = (args: readonly string[], cwd: string): Promise<Outcome> =>
  new Promise((done) => {
    const child = execFile(process.execPath, [LAUNCHER, ...args], { cwd }, (_, stdout, stderr) => {
      done({ code: child.exitCode, stdout, stderr });
    });
  });

/** A folder with one short recording: a click every 60 ms, 2000 rpm on a four-stroke's plug lead. */
function folder(): string {
  const path = mkdtempSync(join(home, 'f-'));
  const spec: WavSpec = { sampleRateHz: 48_000, channelCount: 1, coding: 'int16' };
  const sound = Float32Array.from({ length: 96_000 }, (_, i) =>
    i % 2880 < 3 ? [0.5, -0.3, 0.1][i % 2880]! : 0,
  );
  writeFileSync(join(path, 'a.wav'), wavHeader(spec, sound.length));
  writeFileSync(join(path, 'a.wav'), encodeFrames(spec, [sound]), { flag: 'a' });
  return path;
}
const oneLine = /^[^\n]+\n$/;

test('simulate, then decode, by the contract: npm run --silent cli', async () => {
  const at = mkdtempSync(join(home, 'npm-'));
  const npm = (...args: string[]): Promise<Outcome> =>
    new Promise((done) => {
      const command = ['run', '--silent', 'cli', '--', ...args];
      const child = execFile('npm', command, { cwd: ROOT }, (_, stdout, stderr) => {
        done({ code: child.exitCode, stdout, stderr });
      });
    });
  const wav = join(at, 'made.wav');
  expect(await npm('simulate', '--seconds', '3', '--out', wav)).toEqual({ code: 0, stdout: '', stderr: '' });
  const { code, stdout, stderr } = await npm('decode', wav, '--json', '--strikes', join(at, 's.csv'));
  expect([code, stderr]).toEqual([0, '']);
  expect(stdout).toMatch(oneLine);
  const summary = JSON.parse(stdout) as { strikes: number; rpm_median: number };
  expect(summary.rpm_median / 2000).toBeCloseTo(1, 2); // simulate holds 2000 rpm unless told otherwise
  const truth = readFileSync(join(at, 'made.truth.csv'), 'utf8').trim().split('\r\n').slice(1);
  expect(summary.strikes).toBe(truth.filter((line) => line.includes(',fired,')).length);
  expect(readFileSync(join(at, 's.csv'), 'utf8').trim().split('\r\n').length).toBe(1 + summary.strikes);
});

test('outputs appear whole under their names, and no other file stays behind', async () => {
  const at = folder();
  symlinkSync('elsewhere.csv', join(at, 's.csv'));
  writeFileSync(join(at, 'elsewhere.csv'), 'old');
  const { code, stdout, stderr } = await cli(
    ['decode', 'a.wav', '--trace', 't.csv', '--strikes', 's.csv'],
    at,
  );
  expect([code, stderr]).toEqual([0, '']);
  expect(stdout).toContain('rpm');
  expect(readdirSync(at).sort()).toEqual(['a.wav', 'elsewhere.csv', 's.csv', 't.csv']);
  expect(readFileSync(join(at, 't.csv'), 'utf8')).toMatch(/^time_s,rpm,rpm_sd,state\r\n/);
  expect(readlinkSync(join(at, 's.csv'))).toBe('elsewhere.csv'); // a link stays a link
  expect(readFileSync(join(at, 'elsewhere.csv'), 'utf8')).toMatch(/^time_s,amplitude\r\n/);
});

test('bad input: one line on stderr, exit 1, and what stood under the output names stays as it was', async () => {
  const at = folder();
  writeFileSync(join(at, 't.csv'), 'kept');
  writeFileSync(join(at, 'bad.wav'), readFileSync(join(at, 'a.wav')).subarray(0, 30));
  const outcome = await cli(['decode', 'bad.wav', '--trace', 't.csv', '--strikes', 's.csv'], at);
  expect(outcome).toEqual({
    code: 1,
    stdout: '',
    stderr: 'bad.wav: ends inside its header, before any sound\n',
  });
  expect(readdirSync(at).sort()).toEqual(['a.wav', 'bad.wav', 't.csv']);
  expect(readFileSync(join(at, 't.csv'), 'utf8')).toBe('kept');
});

test('a table that a spreadsheet saved as UTF-16 is read like any other', async () => {
  const at = folder();
  const table = '\uFEFFrpm\tadvance_deg\r\n800\t10,5\r\n900\t11\r\n';
  writeFileSync(join(at, 'little.csv'), table, 'utf16le');
  writeFileSync(join(at, 'big.csv'), Buffer.from(table, 'utf16le').swap16());
  const { code, stdout, stderr } = await cli(['fit', 'little.csv', 'big.csv', '--json'], at);
  expect([code, stderr]).toEqual([0, '']);
  expect(stdout).toMatch(/"little\.csv","n":2.*\n.*"big\.csv","n":2/);
});

test('one bad file among several: the others are answered, the exit says 1', async () => {
  const at = folder();
  const { code, stdout, stderr } = await cli(['decode', 'a.wav', '.', 'none.wav', 'a.wav', '--json'], at);
  expect(code).toBe(1);
  expect(
    stdout
      .trim()
      .split('\n')
      .map((line) => (JSON.parse(line) as { file: string }).file),
  ).toEqual(['a.wav', 'a.wav']);
  expect(stderr).toBe(
    '.: cannot be read: it is a folder\nnone.wav: cannot be read: there is no such file or folder\n',
  );
});

test.each([
  [['tune'], 2, /^there is no command "tune"; the commands are decode, /],
  [['decode', 'a.wav', '--loud'], 2, /Unknown option '--loud'/],
  [['decode', 'a.wav', '--trace', 'a.wav'], 2, /^a\.wav is read: the result cannot be written over it/],
  [
    ['decode', 'a.wav', '--trace', 'no/such/t.csv'],
    1,
    /^no\/such\/t\.csv: cannot be written: there is no such file or folder/,
  ],
  [
    ['decode', 'a.wav', '--trace', 't.csv', '--strikes', './t.csv'],
    2,
    /^\.\/t\.csv is named for two results/,
  ],
  [['decode', 'a.wav', '--trace', ''], 2, /^--trace is given nothing/],
  [['decode', ''], 2, /^decode: a file's name is empty/],
])('%j ends with exit %i and one plain line', async (args, code, message) => {
  const at = folder();
  const before = readFileSync(join(at, 'a.wav'));
  const outcome = await cli(args, at);
  expect(outcome.code).toBe(code);
  expect(outcome.stdout).toBe('');
  expect(outcome.stderr).toMatch(oneLine);
  expect(outcome.stderr).toMatch(message);
  expect(readdirSync(at)).toEqual(['a.wav']);
  expect(readFileSync(join(at, 'a.wav'))).toEqual(before);
});

test('help goes to stdout with exit 0, names every command, and each command has its own', async () => {
  const at = folder();
  const general = await cli(['--help'], at);
  expect([general.code, general.stderr]).toEqual([0, '']);
  const names = [...general.stdout.matchAll(/^ {2}([a-z]+) {2}/gm)].map((match) => match[1]!);
  expect(names).toEqual(['decode', 'fit', 'forecast', 'report', 'simulate', 'tape']);
  for (const name of names) {
    const help = await cli([name, '--help'], at);
    expect([name, help.code, help.stderr]).toEqual([name, 0, '']);
    expect(help.stdout).toContain(`cli -- ${name}`);
  }
});

test('fit takes a spreadsheet with decimal commas, and names row and column where a cell is no good', async () => {
  const at = folder();
  // Level at 10 to 1000 rpm, 12 degrees more by 3000 rpm, level again: the corners are those of the made curve.
  const advance = (rpm: number): number => 10 + 12 * Math.min(1, Math.max(0, (rpm - 1000) / 2000));
  const wobble = [0.2, -0.3, 0.1, 0, 0.3, -0.2, -0.1];
  const rows = Array.from({ length: 15 }, (_, i) => {
    const rpm = 600 + 225 * i;
    return `${rpm};${(advance(rpm) + wobble[i % 7]!).toFixed(2).replace('.', ',')}`;
  });
  writeFileSync(join(at, 'good.csv'), ['rpm;advance_deg', ...rows, ''].join('\r\n'));
  writeFileSync(join(at, 'bad.csv'), 'rpm,advance_deg\r\n750,ten\r\n');
  const { code, stdout, stderr } = await cli(['fit', 'good.csv', 'bad.csv', '--json'], at);
  expect([code, stderr]).toEqual([
    1,
    'bad.csv: row 2, column advance_deg: "ten" is not a number like 12.5\n',
  ]);
  expect(stdout).toMatch(oneLine);
  const fit = JSON.parse(stdout) as { file: string; n: number; initial_deg: { low: number; high: number } };
  expect([fit.file, fit.n]).toEqual(['good.csv', 15]);
  expect(fit.initial_deg.low).toBeLessThan(10);
  expect(fit.initial_deg.high).toBeGreaterThan(10);
});

test('a reader that goes away is no error, and the files are written all the same', async () => {
  const at = folder();
  const files = Array<string>(20).fill('a.wav');
  const ends = [
    ['decode', 'a.wav', '--trace', 't.csv'],
    ['decode', ...files, '--json'],
  ].map(
    (args) =>
      new Promise<{ code: number | null; stderr: string }>((done) => {
        const child = spawn(process.execPath, [LAUNCHER, ...args], {
          cwd: at,
          stdio: ['ignore', 'pipe', 'pipe'],
        });
        let stderr = '';
        child.stderr.on('data', (text: Buffer) => (stderr += text.toString()));
        child.stdout.destroy();
        child.on('close', (code) => {
          done({ code, stderr });
        });
      }),
  );
  for (const end of ends) expect(await end).toEqual({ code: 0, stderr: '' });
  expect(existsSync(join(at, 't.csv'))).toBe(true);
});

test.each(['SIGINT', 'SIGTERM'] as const)('%s in the middle leaves no part of a file', async (signal) => {
  const at = mkdtempSync(join(home, 'stop-'));
  // Two hours of sound: it is stopped long before it is done.
  const args = [LAUNCHER, 'simulate', '--seconds', '7200', '--out', 'long.wav'];
  const child = spawn(process.execPath, args, { cwd: at, stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  child.stderr.on('data', (text: Buffer) => (said += text.toString()));
  const ended = new Promise<number | null>((done) => child.on('close', done));
  while (readdirSync(at).length === 0 && child.exitCode === null)
    await new Promise((wait) => setTimeout(wait, 20));
  expect(readdirSync(at).some((name) => name === 'long.wav')).toBe(false);
  child.kill(signal);
  expect(await ended).toBe(signal === 'SIGINT' ? 130 : 143); // 128 and the signal's number, as shells have it
  expect(said).toBe('stopped; nothing was written\n');
  expect(readdirSync(at)).toEqual([]);
});

test('a full disk is said in words', async () => {
  const at = folder();
  symlinkSync('/dev/full', join(at, 't.csv')); // Linux: every write finds no space
  const { code, stderr } = await cli(['decode', 'a.wav', '--trace', 't.csv'], at);
  expect([code, stderr]).toEqual([1, 't.csv: cannot be written: the disk is full\n']);
  expect(readlinkSync(join(at, 't.csv'))).toBe('/dev/full');
});
