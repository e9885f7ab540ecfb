import { expect, test } from 'vitest';
import { mixShape, placeShape } from '../../../dsp/maker/anti-alias';
import { createRandom } from '../../../dsp/maker/random';
import { pulseTable, type StrikeShape as Made } from '../../../dsp/maker/strike-shape';
import { PlaceShapes } from '../../../dsp/shape/place-shapes';
import { StrikeShape } from '../../../dsp/shape/shape';
import { edgeAfter } from '../../../dsp/shape/shape-alike';
import { SampleRing } from '../../../dsp/sound/sample-ring';

const RATE_HZ = 48_000;
const EVERY = 700;
const STRIKES = 160;
const LEAD: Made = {
  kind: 'strike',
  riseS: 5e-6,
  fallS: 40e-6,
  ringHz: 5000,
  ringShare: 0.5,
  ringDecayS: 0.3e-3,
};

/** Strikes of two leads in turn, each at an instant known, in noise 50 dB below them; how much later than that each is
 * timed, samples, by one shape and by a shape for each place. Expected values: the made instants. */
function timed(second: Made): { byOne: number[]; byPlace: number[]; ownShapes: number } {
  const random = createRandom(12);
  const signal = new Float64Array((STRIKES + 2) * EVERY);
  const tables = [pulseTable(LEAD, RATE_HZ), pulseTable(second, RATE_HZ)];
  const instants = Array.from({ length: STRIKES }, (_, i) => (i + 1) * EVERY + random.uniform());
  instants.forEach((at, i) => mixShape(signal, 0, placeShape(tables[i % 2]!, at, 0.5)));
  for (let n = 0; n < signal.length; n++) signal[n]! += 0.5 * 10 ** (-50 / 20) * random.normal();
  const ring = new SampleRing(signal.length);
  ring.push(signal, signal.length);
  const shape = new StrikeShape(RATE_HZ, 'sharp');
  const places = new PlaceShapes(shape, 2);
  shape.learn(ring, instants.slice(0, 24).map(Math.round), null, false);
  const same = shape.agree();
  places.clear(same);
  const [byOne, byPlace]: [number[], number[]] = [[], []];
  let ownShapes = 0;
  instants.forEach((at, i) => {
    shape.compare(ring, Math.round(at), 3);
    const own = places.compare(ring, i % 2, shape.fit.place);
    byOne.push(shape.fit.place + shape.zero - at);
    byPlace.push(own ? own.place + places.zero(i % 2) - at : byOne[i]!);
    if (own) ownShapes++;
    if (shape.teach(ring)) places.teach(ring, i % 2, own ?? shape.fit, shape.usualHeight);
  });
  return { byOne, byPlace, ownShapes };
}

/** Mean of the second lead's less the first's, once both are known well. */
function apart(late: readonly number[]): number {
  const mean = (lead: number): number => {
    const own = late.filter((_, i) => i >= STRIKES / 2 && i % 2 === lead);
    return own.reduce((sum, each) => sum + each, 0) / own.length;
  };
  return mean(1) - mean(0);
}

test('leads that ring apart are timed by their edges: a third of a microsecond between them, where one shape puts nearly three', () => {
  const { byOne, byPlace, ownShapes } = timed({ ...LEAD, ringHz: 5400, fallS: 45e-6 });
  expect(ownShapes).toBeGreaterThan(STRIKES / 2);
  expect(Math.abs(apart(byOne))).toBeGreaterThan(2.5e-6 * RATE_HZ);
  expect(Math.abs(apart(byPlace))).toBeLessThan(0.35e-6 * RATE_HZ);
});

test('leads that sound alike keep the one shape', () => {
  const { byOne, byPlace, ownShapes } = timed(LEAD);
  expect(ownShapes).toBe(0);
  expect(byPlace).toEqual(byOne);
});

// By hand: an edge that rises as a bell does, and the same 0.25 samples later and twice as tall.
test('an edge is found as late as it was made, whatever its height and what follows', () => {
  const edge = (laterBy: number, height: number, tail: number): Float64Array =>
    Float64Array.from({ length: 160 }, (_, j) => {
      const at = j / 8 - 10 - laterBy;
      return at < 0 ? height * Math.exp(-at * at) : height * (1 - tail * at);
    });
  expect(edgeAfter(edge(0, 1, 0.1), edge(0.25, 2, 0.02))).toBeCloseTo(0.25, 2);
  expect(edgeAfter(edge(0, 1, 0.1), edge(4, 1, 0.1))).toBeNull();
  expect(edgeAfter(edge(0, 1, 0.1), edge(4, 1, 0.1), 3.8)).toBeCloseTo(4, 2);
});
