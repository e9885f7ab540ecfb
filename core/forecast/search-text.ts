/** Why a combination stands where it stands, in words: its figures in, sentences out. */
import type { Ranked, Wanted } from './search';

const rpmText = (rpm: number): string => `${Math.round(rpm)} rpm`;

/** @returns sentences, each with its figures */
export function rankedText(found: Omit<Ranked, 'text'>, { target, idleRpm }: Wanted): string {
  return [
    bandSentence(found, target.bandDeg),
    idleSentence(found, idleRpm),
    basisSentence(found),
    ...found.overLimits.map((limit) => `Not to be fitted: ${limit}.`),
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

function bandSentence(
  { beyondBandDeg, atRpm, offDeg, couldBeInside, forecast }: Omit<Ranked, 'text'>,
  bandDeg: number,
): string {
  const way = offDeg > 0 ? 'above' : 'below';
  if (beyondBandDeg === 0)
    return `Stays inside the band of ${bandDeg.toFixed(1)} degrees; furthest from the target at ${rpmText(atRpm)}, ${Math.abs(offDeg).toFixed(1)} degrees ${way}.`;
  const doubt = couldBeInside ? ', though it may lie inside as far as the forecast can say' : '';
  const cause = causeOf(offDeg, atRest(forecast, atRpm));
  return `Leaves the band by ${beyondBandDeg.toFixed(1)} degrees at ${rpmText(atRpm)} (${Math.abs(offDeg).toFixed(1)} degrees ${way} the target: ${cause})${doubt}.`;
}

/** The weights have hardly moved there, if at all. */
const atRest = ({ initialDeg, at }: Ranked['forecast'], rpm: number): boolean =>
  initialDeg !== null && at(rpm).value < initialDeg.value + 1;

/** The total is on target, so that below the start only the range can be wrong. */
const causeOf = (offDeg: number, resting: boolean): string =>
  resting
    ? `the stop leaves too ${offDeg > 0 ? 'short' : 'long'} a range`
    : `the advance comes in too ${offDeg > 0 ? 'early' : 'late'} there`;

function idleSentence({ forecast }: Omit<Ranked, 'text'>, idleRpm: number | null): string {
  if (idleRpm === null) return '';
  const { value, low, high } = forecast.at(idleRpm);
  return `Idle (${rpmText(idleRpm)}) would read ${value.toFixed(1)} degrees (${low.toFixed(1)} to ${high.toFixed(1)}).`;
}

function basisSentence({ measured, beyondShare, springs, stop }: Omit<Ranked, 'text'>): string {
  if (measured) return 'Measured: these springs and this stop were run together.';
  const beyond = Math.round(100 * beyondShare);
  const drawnOn =
    beyond > 0 ? `, and ${beyond} % of its range lies beyond what was read with these springs` : '';
  const basis =
    springs.known === 'run' && stop.known === 'run'
      ? 'springs and stop were run, but not together'
      : springs.known === 'run'
        ? 'the springs were run, the stop was not'
        : 'the springs were never run themselves';
  return `A forecast: ${basis}${drawnOn}.`;
}
