/** Which of the parts come nearest, on a job whose distributor is simulated part by part: the target is the true curve of
 * a combination that was never run. */
import { describe, expect, test } from 'vitest';
import type { Job, Limits, Target } from '../../../core/job';
import { jobRuns, MOST_RUNS } from '../../../core/forecast/job-runs';
import { springSets, stopOptions } from '../../../core/forecast/options';
import { mechanismPosterior } from '../../../core/forecast/posterior';
import { searchParts, type Search, type Wanted } from '../../../core/forecast/search';
import { wantedPart } from '../../../core/forecast/wanted-part';
import { RANGES_DEG, springJob, type SpringName, type StopName } from '../../helpers/spring-job';

const NO_LIMITS: Limits = { mostTotalDeg: null, mostIdleDeg: null, mostCruiseDeg: null };
const { job, rise } = springJob(21, [
  ['middle', 'usual'],
  ['heavy', 'usual'],
]);
const runs = jobRuns(job);
const parts = runs.map((run) => run.parts);
const posterior = mechanismPosterior(runs);
const sets = springSets(job.parts, parts);
const stops = stopOptions(job.parts, parts);

/** Corners on a true curve every 250 rpm, the total 34. */
function targetOf(spring: SpringName, stop: StopName, bandDeg = 1.5): Target {
  const corners = Array.from({ length: 15 }, (_, i) => {
    const rpm = 700 + 250 * i;
    return { rpm, advanceDeg: 34 - RANGES_DEG[stop] + rise(spring, stop, rpm) };
  });
  return { corners, bandDeg };
}
const wanted = (target: Target, limits = NO_LIMITS): Wanted => ({ target, limits, idleRpm: 750 });
const search = (target: Target, limits = NO_LIMITS): Search =>
  searchParts(posterior, sets, stops, wanted(target, limits));
const named = ({ ranked }: Search, place = 0): string =>
  `${ranked[place]!.springs.firstId} ${ranked[place]!.stop.id}`;

describe('what is known of the parts', () => {
  const known = (id: string) => sets.find(({ firstId, secondId }) => firstId === id && secondId === id)!;
  test('springs of a run are known by it, others by their rate beside one that was run', () => {
    expect(known('middle').known).toBe('run');
    expect(known('heavy').known).toBe('run');
    expect(known('light').known).toBe('rate');
    // by hand: 0.7 times the middle ones' rate, or half of the heavy ones'
    expect(known('light').choice!.firstSpring.factor).toBeCloseTo(0.7, 6);
    expect(known('light').text).toContain('0.70 times');
  });
  test('one without rate or run is not known, and it is said what would help', () => {
    expect(known('unknown')).toMatchObject({ known: null, choice: null });
    expect(known('unknown').text).toContain('hang a known mass');
  });
  test('a stop is known by a run or by its degrees, one with neither is not', () => {
    expect(stops.map(({ id, known: by }) => [id, by])).toEqual([
      ['short', null],
      ['usual', 'run'],
      ['long', 'range'],
    ]);
  });
  test('no runs, no springs known', () => {
    for (const set of springSets(job.parts, [])) expect(set.choice).toBeNull();
    expect(springSets({ springs: [], stops: [] }, parts)).toEqual([]);
  });
  test('two of one kind in a run stand for one where one is wanted, with a second that is known', () => {
    const mixed = [
      ...parts,
      { firstSpring: 'first heavy', secondSpring: 'second light', stop: 'stop usual' },
    ];
    const found = (first: string, second: string) =>
      springSets(job.parts, mixed).find(({ firstId, secondId }) => firstId === first && secondId === second)!;
    expect(found('heavy', 'light').known).toBe('run');
    expect(found('middle', 'light').known).toBe('share');
    expect(found('middle', 'light').choice!.firstSpring).toMatchObject({ like: 'set middle', factor: 0.5 });
    // its rate beside the light one's: 1.4 / 0.7
    expect(found('heavy', 'heavy').known).toBe('run');
    expect(found('middle', 'heavy').choice!.secondSpring.factor).toBeCloseTo(2, 6);
    expect(found('heavy', 'unknown').choice).toBeNull();
  });
});

describe('the search', () => {
  test.each([
    ['middle', 'long'],
    ['light', 'long'],
    ['light', 'usual'],
    ['heavy', 'long'],
  ] as const)(
    'finds %s springs with the %s stop, never run together, when the target is their curve',
    (spring, stop) => {
      const found = search(targetOf(spring, stop));
      expect(named(found)).toBe(`${spring} ${stop}`);
      expect(found.ranked[0]!.measured).toBe(false);
      expect(found.ranked[0]!.text).toMatch(/A forecast/);
    },
  );

  test('ranks every combination that can be forecast by how far it leaves the band', () => {
    const found = search(targetOf('middle', 'usual'));
    expect(named(found)).toBe('middle usual');
    expect(found.ranked[0]).toMatchObject({ measured: true, beyondBandDeg: 0 });
    expect(found.ranked[0]!.text).toContain('Measured');
    expect(found.ranked.length).toBe(6); // three sets of springs, two stops
    const beyond = found.ranked.map(({ beyondBandDeg }) => beyondBandDeg);
    expect(beyond).toEqual(beyond.toSorted((a, b) => a - b));
    expect(found.unknown.join(' ')).toMatch(/Springs unknown.*Stop short/);
  });

  test('gives the worst speed with its degrees, idle, and how much was drawn on', () => {
    const worst = search(targetOf('light', 'usual')).ranked.at(-1)!;
    const { atRpm, offDeg, beyondBandDeg, text } = worst;
    expect(text).toContain(`by ${beyondBandDeg.toFixed(1)} degrees at ${Math.round(atRpm)} rpm`);
    expect(text).toContain(
      `${Math.abs(offDeg).toFixed(1)} degrees ${offDeg > 0 ? 'above' : 'below'} the target`,
    );
    expect(text).toMatch(/Idle \(750 rpm\) would read \d+\.\d degrees/);
    const long = search(targetOf('middle', 'long')).ranked.find(
      ({ springs, stop }) => springs.firstId === 'middle' && stop.id === 'long',
    )!;
    expect(Math.abs(long.beyondShare - 4 / 22)).toBeLessThan(0.06); // 18 of 22 degrees were read
    expect(long.text).toMatch(/\d+ % of its range lies beyond what was read/);
  });

  test('what breaks a limit comes last and says so', () => {
    const target = targetOf('middle', 'usual');
    const found = search(target, { ...NO_LIMITS, mostIdleDeg: 13 });
    expect(found.ranked[0]!.overLimits).toEqual([]);
    expect(found.ranked[0]!.stop.id).toBe('long'); // 34 less 22 leaves 12 at idle, 34 less 18 leaves 16
    expect(found.ranked.at(-1)!.text).toMatch(
      /Not to be fitted: idle would read 1\d\.\d degrees, over the limit of 13\.0/,
    );
    for (const each of search(target, { ...NO_LIMITS, mostTotalDeg: 30 }).ranked)
      expect(each.overLimits[0]).toContain('over the limit of 30.0');
  });
});

describe('where none will do', () => {
  test('nothing is wanted when one stays in the band', () => {
    const target = targetOf('middle', 'usual');
    expect(wantedPart(posterior, search(target).ranked[0]!, wanted(target))).toBeNull();
  });
  test('another stop is named when it is the range that is wrong: 14 degrees', () => {
    const target = targetOf('middle', 'short', 1.2);
    const part = wantedPart(posterior, search(target).ranked[0]!, wanted(target))!;
    expect(part.rangeDeg).not.toBeNull();
    expect(Math.abs(part.rangeDeg! - 14)).toBeLessThan(1.6);
    expect(part.text).toMatch(/stop that leaves 1\d\.\d degrees/);
  });
  test('springs are named when it is their force: 0.4 of the middle ones’', () => {
    const middle = targetOf('middle', 'usual');
    const corners = Array.from({ length: 15 }, (_, i) => {
      const rpm = 500 + 250 * i;
      return { rpm, advanceDeg: 34 - RANGES_DEG.usual + rise('middle', 'usual', rpm / Math.sqrt(0.4)) };
    });
    const target = { ...middle, corners, bandDeg: 1.5 };
    const start = search(target).ranked.find(
      ({ springs, stop }) => springs.firstId === 'middle' && stop.id === 'usual',
    )!;
    const part = wantedPart(posterior, start, wanted(target))!;
    expect(Math.abs(part.factor! / 0.4 - 1)).toBeLessThan(0.2);
    expect(part.change).toBe('springs');
    expect(part.text).toContain('times as strong as Springs middle');
  });
  test('a target without corners is refused', () => {
    expect(() => search({ corners: [], bandDeg: 1 })).toThrow(RangeError);
  });
});

describe('the runs of a job', () => {
  const changed = (change: Partial<Job>): number => jobRuns({ ...job, ...change }).length;
  test('are those that show a rise with the vacuum line off, in the order of their time', () => {
    expect(jobRuns({ ...job, runs: job.runs.toReversed() }).map(({ run }) => run.id)).toEqual([
      'run-0',
      'run-1',
    ]);
    const connected = job.setUps.map((setUp) => ({ ...setUp, vacuumLine: 'connected' as const }));
    expect(changed({ setUps: connected })).toBe(0);
    const few = job.runs.map((run) => ({ ...run, readings: run.readings.slice(0, 3) }));
    expect(changed({ runs: few })).toBe(0);
    expect(changed({ runs: [] })).toBe(0);
  });
  test('are the latest eight where there are more', () => {
    const many = Array.from({ length: 10 }, (_, i) => ({ ...job.runs[0]!, id: `r${i}` }));
    expect(changed({ runs: many })).toBe(MOST_RUNS);
  });
  test('share nothing where the set-up is not said', () => {
    const [first, second] = jobRuns({ ...job, setUps: [] });
    expect(first!.parts.firstSpring).not.toBe(second!.parts.firstSpring);
    expect(first!.parts.stop).not.toBe(second!.parts.stop);
  });
});
