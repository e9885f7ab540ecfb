/** Ten thousand damaged files and fields: each is read, or refused in one plain sentence; none throws anything else, none
 * hangs, none is given more memory than it has bytes. `npm run fuzz` prints what of the readers this reaches;
 * CLAMPLINE_FUZZ=20 does twenty times as many. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import { afterAll, expect, test } from 'vitest';
import { backupFrame, parseBackup } from '../core/files/backup-file';
import { CsvError, MOST_CSV_LINES } from '../core/files/csv';
import { readReadings, writeReadings } from '../core/files/csv-readings';
import { readTrace, TRACE_HEADER, traceRow } from '../core/files/csv-trace';
import { DEEPEST_JOB_FILE, parseJob, serialiseJob } from '../core/files/job-file';
import { createWavReader, WavError } from '../dsp/wav/wav-reader';
import { curveSvg } from '../core/drawing/curve-svg';
import { jobFileName, runFileName } from '../web/files/names';
import { parseNumber, type NumberWanted } from '../web/parse-number';
import { madeJob } from './helpers/made-jobs';
import { HOSTILE, mutateBytes, mutateJson, mutateText, randomOf } from './helpers/mutate';
import { formatBody, riff, samples16, text as letters } from './helpers/wav-bytes';

const TIMES = Number(process.env['CLAMPLINE_FUZZ'] ?? 1);
const CASES = {
  wav: 3000,
  readings: 1500,
  trace: 1000,
  job: 2000,
  damagedJob: 500,
  backup: 500,
  field: 2000,
};

const slowest = new Map<string, number>();
afterAll(() => {
  const list = [...slowest].map(([kind, ms]) => `${kind} ${ms.toFixed(1)} ms`).join(', ');
  const mb = process.memoryUsage().rss / 1e6;
  console.log(`slowest case of each kind: ${list}; memory of the process at the end ${mb.toFixed(0)} MB`);
});

/** Runs a case and notes how long it took: to be printed, not to be judged by the clock. */
function timed<T>(kind: string, act: () => T): T {
  const from = performance.now();
  const result = act();
  slowest.set(kind, Math.max(slowest.get(kind) ?? 0, performance.now() - from));
  return result;
}

/** One sentence a person can read: a line of bounded length, nothing of the machine in it. */
function expectSentence(sentence: string): void {
  expect(sentence).toMatch(/^\S.{8,}\S$/s);
  expect(sentence.length).toBeLessThan(400);
  expect(sentence).not.toMatch(/undefined|\[object|Cannot read|is not a function|Invalid (typed|array)/);
}

/** The sentence of a refusal; what is no refusal goes on. */
function refusalOf(act: () => void, kind: typeof CsvError | typeof WavError): string | null {
  try {
    act();
    return null;
  } catch (error) {
    if (error instanceof kind) return error.message;
    throw error;
  }
}

/** The 24 bytes behind an extensible format: their count, valid bits, speakers, and the name of plain samples.
 * @source WAVEFORMATEXTENSIBLE, Multimedia Registration Kit (from memory) */
const EXTENSIBLE = Uint8Array.of(
  ...[22, 0, 24, 0, 3, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71],
);
const WAV_SEEDS = [
  riff([
    { id: 'fmt ', body: formatBody({ code: 0xfffe, channels: 2, bits: 32, extra: EXTENSIBLE }) },
    { id: 'data', body: new Uint8Array(800).map((_, i) => i % 253) },
  ]),
  riff([
    { id: 'fmt ', body: formatBody({ code: 3, bits: 64 }) },
    { id: 'data', body: new Uint8Array(800) },
  ]),
  riff([
    { id: 'fmt ', body: formatBody() },
    { id: 'data', body: samples16(Array.from({ length: 400 }, (_, i) => (i * 331) % 20000)) },
  ]),
  riff([
    { id: 'LIST', body: letters('INFOISFT....') },
    { id: 'fmt ', body: formatBody({ channels: 2, bits: 24, frameBytes: 6 }) },
    { id: 'fact', body: new Uint8Array(4) },
    { id: 'data', body: new Uint8Array(600).map((_, i) => i % 251) },
  ]),
  riff(
    [
      { id: 'fmt ', body: formatBody({}, true) },
      { id: 'data', body: samples16([1, 2, 3, 4, 5, 6, 7, 8], true) },
    ],
    'RIFX',
  ),
  riff(
    [
      { id: 'ds64', body: new Uint8Array(28) },
      { id: 'fmt ', body: formatBody({ code: 3, bits: 32, frameBytes: 4 }) },
      { id: 'data', body: new Uint8Array(512) },
    ],
    'RF64',
    0xffffffff,
  ),
];

test('a damaged WAV is read as far as it goes, or refused in a sentence; it never gives more than its bytes hold', () => {
  let refused = 0;
  for (let i = 0; i < CASES.wav * TIMES; i++) {
    const random = randomOf(1, i);
    const bytes = mutateBytes(WAV_SEEDS[i % WAV_SEEDS.length]!, random);
    let [frames, widest] = [0, 0];
    const reader = createWavReader({
      block(channels) {
        const [first] = channels;
        for (const channel of channels) expect(channel.length).toBe(first!.length);
        frames += first!.length;
        widest = Math.max(widest, channels.length);
      },
    });
    const sentence = timed('WAV', () =>
      refusalOf(() => {
        for (let at = 0; at < bytes.length;) {
          const piece = 1 + Math.floor(random.uniform() * 300);
          reader.push(bytes.subarray(at, at + piece));
          at += piece;
        }
        reader.finish();
      }, WavError),
    );
    if (sentence !== null) refused++;
    for (const each of [...(sentence === null ? [] : [sentence]), ...reader.warnings]) expectSentence(each);
    expect(frames * widest).toBeLessThanOrEqual(bytes.length);
    expect(reader.frames).toBe(frames);
  }
  expect(refused).toBeGreaterThan(CASES.wav * 0.1);
  expect(refused).toBeLessThan(CASES.wav * 0.95 * TIMES);
});

const READINGS_SEEDS = [
  'rpm,advance_deg,rpm_sd,note\r\n800,10.5,4,idle\r\n1200,14,5,"a, b"\r\n2000,24.5,,\r\n',
  'rpm;advance_deg\n800;10,5\n1200;14,0\n2000;24,5\n',
  '\uFEFFadvance_deg\trpm\n10\t900\n12\t1100\n',
];

test('a damaged table of readings is read, or refused with its place and what was wanted', () => {
  for (let i = 0; i < CASES.readings * TIMES; i++) {
    const text = mutateText(READINGS_SEEDS[i % READINGS_SEEDS.length]!, randomOf(2, i));
    const sentence = timed('readings', () =>
      refusalOf(() => {
        for (const { rpm, advanceDeg, rpmSd } of readReadings(text)) {
          expect(rpm >= 1 && rpm <= 30_000).toBe(true);
          expect(Math.abs(advanceDeg)).toBeLessThanOrEqual(180);
          expect(rpmSd === null || rpmSd >= 0).toBe(true);
        }
      }, CsvError),
    );
    if (sentence === null) continue;
    expectSentence(sentence);
    expect(sentence).toMatch(/row \d+|column|header/);
  }
});

const TRACE_SEED =
  TRACE_HEADER +
  traceRow(0.5, 812.25, 3.4, 'following') +
  traceRow(0.65, null, null, 'lost') +
  traceRow(0.8, 815, 3.1, 'following');

test('a damaged trace is read, or refused with its place and what was wanted', () => {
  for (let i = 0; i < CASES.trace * TIMES; i++) {
    const text = mutateText(TRACE_SEED, randomOf(3, i));
    const sentence = timed('trace', () =>
      refusalOf(() => {
        for (const { timeS, rpm } of readTrace(text)) {
          expect(timeS >= 0).toBe(true);
          expect(rpm === null || rpm >= 0).toBe(true);
        }
      }, CsvError),
    );
    if (sentence === null) continue;
    expectSentence(sentence);
    expect(sentence).toMatch(/row \d+|column|header/);
  }
});

const OLD_JOB: unknown = JSON.parse(
  readFileSync(join(import.meta.dirname, 'helpers/old-jobs/version-1.json'), 'utf8'),
);

test('a job file with wrong fields is read and written again whole, or refused with the field’s place', () => {
  const seeds = [madeJob(), OLD_JOB];
  let refused = 0;
  for (let i = 0; i < CASES.job * TIMES; i++) {
    const text = JSON.stringify(mutateJson(seeds[i % seeds.length], randomOf(4, i)));
    const read = timed('job', () => parseJob(text));
    if ('problem' in read) {
      refused++;
      expectSentence(`file ${read.problem}`);
      continue;
    }
    const again = parseJob(serialiseJob(read.job));
    expect(again).toEqual(read);
  }
  expect(refused).toBeGreaterThan(CASES.job * 0.2);
  expect(refused).toBeLessThan(CASES.job * 0.95 * TIMES);
});

test('a job file damaged in its text is refused in a sentence, or is still a job', () => {
  const seed = serialiseJob(madeJob());
  for (let i = 0; i < CASES.damagedJob * TIMES; i++) {
    const read = timed('damaged job', () => parseJob(mutateText(seed, randomOf(5, i))));
    if ('problem' in read) expectSentence(`file ${read.problem}`);
  }
});

test('a damaged backup is refused in a sentence, or gives whole jobs and says which are damaged', () => {
  const { head, between, foot } = backupFrame('2026-11-25T20:00:00Z', 2);
  const seed = head + [madeJob(), { ...madeJob(), id: 'other' }].map(serialiseJob).join(between) + foot;
  for (let i = 0; i < CASES.backup * TIMES; i++) {
    const random = randomOf(7, i);
    const text = i % 2 ? mutateText(seed, random) : JSON.stringify(mutateJson(JSON.parse(seed), random));
    const read = timed('backup', () => parseBackup(text));
    if ('problem' in read) {
      expectSentence(`file ${read.problem}`);
      continue;
    }
    expect(read.jobs.length + read.refused.length).toBeLessThanOrEqual(2);
    for (const words of read.refused) expectSentence(words);
    for (const job of read.jobs) expect('job' in parseJob(serialiseJob(job))).toBe(true);
  }
});

const FIELDS: readonly NumberWanted[] = [
  { what: 'Idle speed', unit: 'rpm', min: 0, max: 12_000 },
  { what: 'Degrees read', unit: '°', min: -90, max: 90 },
  { what: 'Cylinders', unit: '', min: 1, max: 16, whole: true },
  { what: 'Diameter', unit: 'mm', min: 20, max: 1000, otherUnits: { in: 25.4, cm: 10 } },
];
const TYPED = ['850', '1,200', '12.5', '12,5', '−3', '+ 7', '1 200 rpm', '8 in', '20.3cm', '.5', '5.', '33°'];

test('what is typed in a number field is a number in its range, nothing, or one sentence on what was wanted', () => {
  for (let i = 0; i < CASES.field * TIMES; i++) {
    const wanted = FIELDS[i % FIELDS.length]!;
    const typed = mutateText(TYPED[i % TYPED.length]!, randomOf(6, i));
    const read = timed('field', () => parseNumber(typed, wanted));
    if ('problem' in read) {
      expect(read.problem.startsWith(`${wanted.what} wants `)).toBe(true);
      expect(read.problem.length).toBeLessThan(250);
    } else if (read.value !== null) {
      expect(read.value >= wanted.min && read.value <= wanted.max).toBe(true);
      expect(!wanted.whole || Number.isInteger(read.value)).toBe(true);
    } else expect(typed.trim()).toBe('');
  }
});

test('hostile notes run nothing in a spreadsheet and come back as they were', () => {
  const [reading] = madeJob().runs[0]!.readings;
  for (const note of HOSTILE) {
    const csv = writeReadings([{ ...reading!, note }], () => 12);
    // The reader of another project: what a spreadsheet would see.
    const cells = Papa.parse<string[]>(csv.trimEnd(), { delimiter: ',' }).data.flat();
    for (const cell of cells) if (!/^-?[\d.]+$/.test(cell)) expect(cell).not.toMatch(/^[=+\-@\t\r]/);
    expect(readReadings(csv)[0]!.note.replace(/\r\n?/g, '\n')).toBe(note.replace(/\r\n?/g, '\n'));
  }
});

test('hostile names make no element in a drawing and no path in a file’s name', () => {
  for (const title of HOSTILE) {
    const svg = curveSvg({ title, subtitle: title, readings: [], fit: null, target: null });
    expect(svg).not.toMatch(/<(script|img|b)\b|<\/svg>.*<\/svg>/s);
    for (const name of [jobFileName(title), runFileName(title, { startedAt: title }, 'readings.csv')]) {
      expect(name).toMatch(/^clampline-[\p{L}\p{M}\p{N}-]+\.(json|csv)$/u);
      expect(name.length).toBeLessThan(120);
    }
  }
});

test('files beyond every size are refused at once: lines, depth, a text of megabytes between two quotes', () => {
  expect(() => readReadings(`rpm,advance_deg${'\r'.repeat(MOST_CSV_LINES + 1)}`)).toThrow(
    /has more than the/,
  );
  const job = serialiseJob(madeJob());
  const deep = '['.repeat(100_000) + ']'.repeat(100_000);
  expect(parseJob(job.replace('{', `{"more": ${deep},`))).toEqual({
    problem: `is damaged: its fields stand more than ${DEEPEST_JOB_FILE} deep within one another`,
  });
  const long = `{"format": "clampline-job", "version": 2, "x": "[${'1.25,'.repeat(2e6)}1]}`;
  expect(parseJob(long)).toEqual({ problem: 'is cut short: the end of the job is missing' });
});
