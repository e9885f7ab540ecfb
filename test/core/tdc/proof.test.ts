/** Proofs of top dead centre: the tape's error, its interval, and what does not fit together. */
import { describe, expect, test } from 'vitest';
import type { TdcProof } from '../../../core/job';
import { correctedBy, type ProvedError, proofResult } from '../../../core/tdc/proof';
import { movedZero } from '../../../core/tdc/slip';
import { createRandom } from '../../../dsp/maker/random';

const STOP: TdcProof = {
  ...{ id: 'a', at: '2026-05-01T10:00:00Z', method: 'positive stop', firstDeg: 22, secondDeg: -18 },
  ...{ readingSdDeg: 0.5, dropMm: null, notes: '' },
};
const CRANK = { strokeMm: 80, rodMm: 140 };
const proved = (proof: TdcProof, crank: typeof CRANK | null = null): ProvedError => {
  const result = proofResult(proof, crank);
  if ('wanted' in result) throw new Error(result.wanted);
  return result;
};

describe('a positive stop', () => {
  test('at 22 before and 18 after puts the tape 2 degrees off: half the sum (common practice)', () => {
    expect(proved(STOP).errorDeg.value).toBe(2);
    expect(proved(STOP).doubts).toEqual([]);
  });
  test('read to 0.5 degrees a side is good to 0.354 (0.5/√2), ± 0.69 at 95 %', () => {
    const { sdDeg, errorDeg } = proved(STOP);
    expect(sdDeg).toBeCloseTo(0.3536, 4);
    expect(errorDeg.high - errorDeg.value).toBeCloseTo(1.96 * 0.3536, 2);
  });
  test('covers the truth in 95 of 100: 4000 proofs with scattered readings', () => {
    const random = createRandom(11);
    let covered = 0;
    for (let i = 0; i < 4000; i++) {
      const truth = random.between(-3, 3);
      const [firstDeg, secondDeg] = [20 + truth + 0.5 * random.normal(), -20 + truth + 0.5 * random.normal()];
      const { low, high } = proved({ ...STOP, firstDeg, secondDeg }).errorDeg;
      if (low <= truth && truth <= high) covered++;
    }
    expect(covered / 4000).toBeGreaterThan(0.94); // 0.95, three standard errors of 0.0034 off
    expect(covered / 4000).toBeLessThan(0.96);
  });
  test('with two readings of one sign is asked about: a minus was forgotten', () => {
    expect(proved({ ...STOP, secondDeg: 18 }).doubts[0]).toMatch(
      /one side of the tape’s zero \(22\.0° and 18\.0°\)/,
    );
  });
  test('wants both sides', () => {
    expect(proofResult({ ...STOP, secondDeg: null }, CRANK)).toEqual({
      wanted: 'A stop wants a reading from either side.',
    });
  });
});

// a = 40, l = 140: 10 degrees are a drop of 0.780103 mm, 15 degrees of 1.746276 (worked with numpy from the printed
// formula; see slider-crank.test.ts).
describe('a dial indicator', () => {
  const DIAL: TdcProof = {
    ...STOP,
    method: 'dial indicator',
    dropMm: 0.780103,
    firstDeg: 11.5,
    secondDeg: -8.5,
  };
  test('at the same drop either side puts true TDC midway: 11.5 and -8.5 are 1.5 off', () => {
    expect(proved(DIAL, CRANK).errorDeg.value).toBe(1.5);
    expect(proved(DIAL, CRANK).doubts).toEqual([]);
    expect(proved({ ...DIAL, dropMm: null }).errorDeg.value).toBe(1.5); // no geometry needed
  });
  test('on one side gives the error through stroke and rod: 11.5 read where the crank stands at 10', () => {
    const { errorDeg, sdDeg } = proved({ ...DIAL, secondDeg: null }, CRANK);
    expect(errorDeg.value).toBeCloseTo(1.5, 4);
    // Near 10 degrees a millimetre is 6.47 degrees (10 / 0.7801 / 2 by the square law, within 1 %), so 0.02 mm on the
    // dial is 0.129 degrees, beside 0.5 on the tape.
    expect(sdDeg).toBeCloseTo(Math.hypot(0.5, 0.129), 2);
  });
  test('on the late side counts the angle negative', () => {
    expect(
      proved({ ...DIAL, firstDeg: -13.5, secondDeg: null, dropMm: 1.746276 }, CRANK).errorDeg.value,
    ).toBeCloseTo(1.5, 4);
  });
  test('whose tape shows another span than stroke, rod and drop make is asked about', () => {
    const wrong = { ...DIAL, firstDeg: 13.2, secondDeg: -10.8 }; // 24 where the crank turned 20
    expect(proved(wrong, CRANK).doubts[0]).toMatch(/shows 24\.0° .* make 20\.0°: check the tape’s diameter/);
    expect(proved(wrong, null).doubts).toEqual([]);
  });
  test.each([
    [null, DIAL.dropMm, /stroke and rod length are wanted/],
    [CRANK, null, /drop is wanted/],
    [CRANK, 0, /drop is wanted/],
    [CRANK, 80, /drop is wanted/],
  ])('on one side with crank %j and drop %j says what is wanted', (crank, dropMm, words) => {
    const result = proofResult({ ...DIAL, secondDeg: null, dropMm }, crank);
    expect('wanted' in result && result.wanted).toMatch(words);
  });
});

test('taken into the corrections, the error comes with how far off it may be', () => {
  const before = { tapeZeroErrorDeg: 0, tapeZeroSdDeg: null, lightDelayUs: 40 };
  expect(correctedBy(before, proved(STOP))).toEqual({
    tapeZeroErrorDeg: 2,
    tapeZeroSdDeg: 0.354,
    lightDelayUs: 40,
  });
});

describe('a damper’s ring that slips', () => {
  const after = (at: string, shiftDeg: number): TdcProof => ({
    ...{ ...STOP, id: at, at: `2026-05-${at}T10:00:00Z` },
    ...{ firstDeg: 22 + shiftDeg, secondDeg: -18 + shiftDeg },
  });
  test('is warned of when the error moved by more than the readings allow: 2 degrees against ± 0.98', () => {
    const moved = movedZero([after('01', 0), after('08', 2)], null)!;
    expect(moved.movedDeg.value).toBeCloseTo(2, 12);
    expect(moved.movedDeg.low).toBeCloseTo(2 - 1.96 * 0.5, 2); // both proofs: √(0.354² + 0.354²) = 0.5
    expect(moved.text).toContain('moved by 2.0° (1.0 to 3.0)');
    expect(moved.text).toContain('ring may have slipped');
  });
  test('is found when it creeps: no step of 0.7 stands out, five of them do', () => {
    const creep = [0, 0.7, 1.4, 2.1, 2.8].map((shift, i) => after(`0${i + 1}`, shift));
    expect(movedZero(creep.slice(0, 2), null)).toBeNull();
    expect(movedZero(creep, null)!.earlier.id).toBe('01');
  });
  test('is not cried out for one proof, for none, nor for what scatter does', () => {
    expect(movedZero([], null)).toBeNull();
    expect(movedZero([STOP], null)).toBeNull();
    expect(movedZero([after('01', 0), after('02', 0.9)], null)).toBeNull();
  });
  test('looks at the newest by its time, whatever the order in the file', () => {
    expect(movedZero([after('09', 2), after('01', 0)], null)!.newest.id).toBe('09');
    expect(movedZero([after('09', 2), after('01', 0)], null)!.movedDeg.value).toBeCloseTo(2, 12);
  });
  test('false alarms stay under 5 % with six proofs of one sound damper: 1500 of them', () => {
    const random = createRandom(12);
    let alarms = 0;
    for (let i = 0; i < 1500; i++) {
      const proofs = Array.from({ length: 6 }, (_, k) => ({
        ...after(`0${k + 1}`, 0),
        ...{ firstDeg: 21 + 0.5 * random.normal(), secondDeg: -19 + 0.5 * random.normal() },
      }));
      if (movedZero(proofs, null)) alarms++;
    }
    expect(alarms / 1500).toBeLessThan(0.05);
    expect(alarms).toBeGreaterThan(10); // a threshold that never speaks would pass the line above
  });
});
