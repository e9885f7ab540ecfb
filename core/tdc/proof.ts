/** A proof of top dead centre: readings of the tape at known places of the piston in; the tape's error with its 95 %
 * interval out, or what is wanted before it can be said. */
import { NORMAL_95 } from '../curve/student-t';
import { tapeZeroErrorDeg } from '../angle';
import type { Figure } from '../fit';
import type { Corrections, TdcProof } from '../job';
import { crankDegAtDrop, crankDegPerMm, type SliderCrank } from './slider-crank';

/** How far off a dial's figure may be, a standard deviation: divisions of 0.01 mm, read and zeroed by hand.
 * @source Common practice */
const DIAL_SD_MM = 0.02;

export type ProofReadings = Pick<TdcProof, 'method' | 'firstDeg' | 'secondDeg' | 'readingSdDeg' | 'dropMm'>;

export interface ProvedError {
  /** What the tape shows at true top dead centre. */
  readonly errorDeg: Figure;
  readonly sdDeg: number;
  /** Plain sentences on what does not fit together; empty where all does. */
  readonly doubts: readonly string[];
}

export type ProofResult = ProvedError | { readonly wanted: string };

/** The tape's error from one proof.
 * @param crank null: stroke or rod are not said
 * @returns a sentence on what is wanted where the readings alone do not carry it
 * @source Positive stop, and equal drop either side: true TDC is midway, the error half the sum of the two signed
 * readings (common practice). One side: the tape's reading less the crank angle at that drop. */
export function proofResult(proof: ProofReadings, crank: SliderCrank | null): ProofResult {
  return proof.secondDeg === null ? oneSided(proof, crank) : twoSided(proof, proof.secondDeg, crank);
}

const proved = (value: number, sdDeg: number, doubts: readonly string[]): ProvedError => ({
  errorDeg: { value, low: value - NORMAL_95 * sdDeg, high: value + NORMAL_95 * sdDeg },
  sdDeg,
  doubts,
});

function twoSided(proof: ProofReadings, secondDeg: number, crank: SliderCrank | null): ProofResult {
  const errorDeg = tapeZeroErrorDeg(proof.firstDeg, secondDeg);
  const doubts = [oneSign(proof.firstDeg, secondDeg), spanDoubt(proof, secondDeg, crank)];
  // Two readings, each off on its own: half their sum is off by 1/√2 of one.
  return proved(
    errorDeg,
    proof.readingSdDeg / Math.SQRT2,
    doubts.filter((doubt) => doubt !== null),
  );
}

const deg = (value: number): string => `${value.toFixed(1).replace('-', '\u2212')}°`;

/** A reading on the far side of zero is negative; two of one sign mean a forgotten minus or a tape far off. */
function oneSign(firstDeg: number, secondDeg: number): string | null {
  if (firstDeg * secondDeg <= 0) return null;
  return `Both readings lie on one side of the tape’s zero (${deg(firstDeg)} and ${deg(secondDeg)}): a reading after zero is negative.`;
}

/** Between equal drops the crank turns twice the angle at that drop; a tape that shows another span does not fit. */
function spanDoubt(proof: ProofReadings, secondDeg: number, crank: SliderCrank | null): string | null {
  const { dropMm, firstDeg, readingSdDeg, method } = proof;
  if (method !== 'dial indicator' || crank === null || !isDrop(dropMm, crank)) return null;
  const turnedDeg = 2 * crankDegAtDrop(dropMm, crank);
  const spanDeg = Math.abs(firstDeg - secondDeg);
  const sdDeg = Math.hypot(Math.SQRT2 * readingSdDeg, 2 * crankDegPerMm(dropMm, crank) * DIAL_SD_MM);
  if (Math.abs(spanDeg - turnedDeg) <= NORMAL_95 * sdDeg) return null;
  return (
    `The tape shows ${deg(spanDeg)} between the readings where stroke, rod and drop make ${deg(turnedDeg)}: ` +
    'check the tape’s diameter, the drop, the stroke and the rod.'
  );
}

const isDrop = (dropMm: number | null, { strokeMm }: SliderCrank): dropMm is number =>
  dropMm !== null && dropMm > 0 && dropMm < strokeMm;

function oneSided(proof: ProofReadings, crank: SliderCrank | null): ProofResult {
  if (proof.method === 'positive stop') return { wanted: 'A stop wants a reading from either side.' };
  if (crank === null) return { wanted: 'From one side only, the engine’s stroke and rod length are wanted.' };
  if (!isDrop(proof.dropMm, crank))
    return { wanted: `The piston’s drop is wanted, over 0 and under the stroke of ${crank.strokeMm} mm.` };
  const angleDeg = crankDegAtDrop(proof.dropMm, crank) * (proof.firstDeg < 0 ? -1 : 1);
  const sdDeg = Math.hypot(proof.readingSdDeg, crankDegPerMm(proof.dropMm, crank) * DIAL_SD_MM);
  return proved(proof.firstDeg - angleDeg, sdDeg, []);
}

/** The corrections with a proof's error in them, to a hundredth of a degree. */
export const correctedBy = (corrections: Corrections, { errorDeg, sdDeg }: ProvedError): Corrections => ({
  ...corrections,
  tapeZeroErrorDeg: Math.round(errorDeg.value * 100) / 100 + 0,
  tapeZeroSdDeg: Math.round(sdDeg * 1000) / 1000,
});
