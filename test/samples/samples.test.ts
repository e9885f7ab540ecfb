import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import wavefile from 'wavefile';
import { parseJob } from '../../core/files/job-file';
import { advanceAtSpeed } from '../../core/mechanism';
import { practiceMechanism } from '../../core/practice/practice-distributor';
import { makeSamples } from '../../samples/make';
import { SAMPLE_RECIPES } from '../../samples/recipes';

const SAMPLES = resolve(import.meta.dirname, '../../samples');
const committed = readdirSync(SAMPLES).filter((name) => /\.(wav|csv|json)$/.test(name));
let again = '';

beforeAll(() => {
  again = mkdtempSync(join(tmpdir(), 'clampline-samples-'));
  makeSamples(again);
}, 180_000);
afterAll(() => rmSync(again, { recursive: true, force: true }));

const textOf = (name: string): string => readFileSync(join(SAMPLES, name), 'utf8');

test('the maker makes the files that are here, no more and no fewer', () => {
  expect(readdirSync(again).sort()).toEqual([...committed].sort());
  expect(committed.filter((name) => name.endsWith('.wav'))).toHaveLength(3);
});

test.each(committed)('%s comes out of the maker bit for bit', (name) => {
  expect(readFileSync(join(again, name)).equals(readFileSync(join(SAMPLES, name)))).toBe(true);
});

test('all samples together stay under 1.5 MB', () => {
  const bytes = committed.reduce((sum, name) => sum + statSync(join(SAMPLES, name)).size, 0);
  expect(bytes).toBeLessThan(1.5e6);
});

// wavefile, an independent library, reads the header and every sample.
test.each(SAMPLE_RECIPES)(
  '$name.wav is 44.1 kHz, 16 bit, of the length and channels asked for',
  ({ name, options }) => {
    const wav = new wavefile.WaveFile(readFileSync(join(SAMPLES, `${name}.wav`)));
    const asked = (option: string): number => Number(options[options.indexOf(option) + 1]);
    const channels = options.includes('--channels') ? 2 : 1;
    expect(wav.fmt).toMatchObject({ sampleRate: 44_100, bitsPerSample: 16, numChannels: channels });
    const samples = wav.getSamples(true, Int16Array) as unknown as Int16Array;
    expect(samples.length).toBe(44_100 * asked('--seconds') * channels);
  },
);

test.each(SAMPLE_RECIPES)(
  'every strike in the truth of $name stands out of its recording',
  ({ name, options }) => {
    const wav = new wavefile.WaveFile(readFileSync(join(SAMPLES, `${name}.wav`)));
    const all = wav.getSamples(true, Int16Array) as unknown as Int16Array;
    const channels = options.includes('--channels') ? 2 : 1;
    const sign = options.includes('--invert') ? -1 : 1;
    const at = (frame: number): number => sign * all[frame * channels]!;
    const rows = textOf(`${name}.truth.csv`)
      .trim()
      .split('\r\n')
      .slice(1)
      .map((line) => line.split(','));
    expect(rows.length).toBeGreaterThan(20);
    for (const [timeS, , , , fate] of rows) {
      const frame = Math.round(Number(timeS) * 44_100);
      // a strike rises within three samples; hum at 50 Hz moves by less than a thirtieth of the strike in that time
      const rise = Math.max(at(frame), at(frame + 1), at(frame + 2)) - at(frame - 3);
      if (fate === 'fired') expect(rise).toBeGreaterThan(0.12 * 32768);
      else expect(rise).toBeLessThan(0.06 * 32768);
    }
  },
);

test('the readme shows the options that each recording was made with', () => {
  const readme = textOf('README.md');
  for (const { name, options } of SAMPLE_RECIPES) {
    expect(readme).toContain(`${name}.wav`);
    expect(readme).toContain(options.join(' '));
  }
});

test('the job opens, with two runs whose readings lie about their mechanisms’ curves', () => {
  const read = parseJob(textOf('two-evenings.json'));
  if (!('job' in read)) throw new Error(read.problem);
  const { runs } = read.job;
  expect(runs).toHaveLength(2);
  const fitted = [
    { initialDeg: 8, mechanism: practiceMechanism('heavy', 'long') },
    { initialDeg: 14, mechanism: practiceMechanism('middle', 'middle') },
  ];
  runs.forEach(({ readings, trace }, i) => {
    expect(readings).toHaveLength(15);
    const off = readings.map(
      ({ rpm, seenDeg }) => seenDeg - fitted[i]!.initialDeg - advanceAtSpeed(fitted[i]!.mechanism, rpm),
    );
    off.forEach((each) => expect(Math.abs(each)).toBeLessThan(2.5)); // 0.6 a reading, rounding, and three or four of them
    const mean = off.reduce((a, b) => a + b) / off.length;
    expect(Math.abs(mean)).toBeLessThan(0.6); // 0.65 over the root of fifteen is 0.17
    expect(trace!.timeS.length).toBe(trace!.rpm.length);
  });
});
