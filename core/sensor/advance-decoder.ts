/** Samples of clamp and crank sensor in; strikes, trace rows and the advance of every spark out. Pure, block by block,
 * live or from a file. */
import { createReferenceChain } from '../../dsp/reference/reference-chain';
import { createDecoder, type DecodeEvents, type DecodeOptions, type Decoder } from '../decode';
import { HIGHEST_RPM, LOWEST_RPM, strikesPerTurn } from '../engine';
import { CountedPulses } from './counted-pulses';
import { CrankTurns, type CrankPlace } from './crank-turns';
import { neighboursAgree, offWholeDeg } from './neighbours-agree';
import { OutOfLine } from './out-of-line';
import { sparkAdvanceDeg, sparkSpacingDeg, type SensorPlace } from './spark-advance';
import { StrikeTurns } from './strike-turns';

export interface AdvanceEvents extends DecodeEvents {
  /** In order of time: three pulses of the sensor after a strike and a strike after those, where it is in line with its
   * neighbours; else three pulses after the next strike.
   * @param rpm of the crank at that spark @param sdDeg how far `advanceDeg` may be off, a standard deviation; the spark's
   * own scatter is none of it */
  advance?(timeS: number, rpm: number, advanceDeg: number, sdDeg: number): void;
}

export interface AdvanceCounts {
  /** Sparks with an advance, and without: no pulse stood near, or the speed between them is not known well enough. */
  readonly sparks: number;
  /** Of those with one, the sparks by pulses on one side only: before the first, after the last, beside a gap. */
  readonly beyond: number;
  readonly unknown: number;
  readonly pulses: number;
  readonly missedPulses: number;
}

export interface AdvanceDecoder extends Omit<Decoder, 'push'> {
  /** @param clamp @param sensor one channel each, equal lengths, full scale ±1 */
  push(clamp: Float32Array, sensor: Float32Array): void;
  /** From now on: what was told stays. */
  place(sensor: SensorPlace): void;
  counts(): AdvanceCounts;
}

/** A gap of more turns between two pulses says nothing of the speed within it. */
const MOST_TURNS = 6;
/** A spark whose place between the pulses is less sure than this, besides the noise of a single pulse, gets no advance:
 * a degree is three and a half of these deviations. */
const MOST_SD_DEG = 0.28;
/** Both channels' speeds never differ by this factor, not even while that of the strikes lags: turns counted twice, or every
 * other one, would make it two. */
const MOST_RATIO = 1.8;
/** A next spark that stands whole intervals off to so many degrees is in line, however roughly its place is known. */
const IN_LINE_DEG = 2;
/** A spark that one neighbour bears out and the other gainsays, as where sound was lost beside it, must be as sure as this. */
const GAINSAID_SD_DEG = 0.1;
/** A spark that waits this long for the sensor gets no advance. */
const WAITS_S = 8;
/** Both channels are heard in turn by so many frames, whatever comes at a time: which strikes the sensor's chain knows of
 * at a pulse must not hang on that. */
const CHUNK_FRAMES = 256;
/** How well strikes are timed is asked for after so many. */
const TIMED_EVERY = 64;

/** @throws RangeError if the engine's figures or the sample rate cannot be */
export function createAdvanceDecoder(
  options: DecodeOptions,
  sensor: SensorPlace,
  events: AdvanceEvents,
): AdvanceDecoder {
  return new BothChannels(options, sensor, events);
}

/** A spark of which nothing is told yet. */
interface Waiting {
  readonly timeS: number;
  /** The speed by the strikes up to it; null: not known. */
  rpm: number | null;
}

class BothChannels implements AdvanceDecoder {
  readonly #decoder: Decoder;
  readonly #reference: ReturnType<typeof createReferenceChain>;
  readonly #strikeTurns: StrikeTurns;
  readonly #pulses: CountedPulses;
  readonly #turns: CrankTurns;
  readonly #outOfLine: OutOfLine;
  readonly #spacingDeg: number;
  readonly #clamp = new Float32Array(CHUNK_FRAMES);
  readonly #sensor = new Float32Array(CHUNK_FRAMES);
  #held = 0;
  #place: SensorPlace;
  #waiting: Waiting[] = [];
  /** The spark before, where its place was known. */
  #beforeS = 0;
  #before: CrankPlace | null = null;
  #askedS: number | null = null;
  #asked: CrankPlace | null = null;
  #strikes = 0;
  #timingS = 0;
  #sparks = 0;
  #unknown = 0;
  #beyond = 0;

  constructor(
    private readonly options: DecodeOptions,
    place: SensorPlace,
    private readonly events: AdvanceEvents,
  ) {
    const { sampleRateHz, engine } = options;
    this.#place = place;
    this.#turns = new CrankTurns(engine.strokes / 2);
    this.#outOfLine = new OutOfLine(engine);
    this.#spacingDeg = sparkSpacingDeg(engine);
    this.#decoder = createDecoder(options, {
      ...events,
      strike: (timeS, amplitude) => this.#struck(timeS, amplitude),
      row: (timeS, rpm, rpmSd, state) => {
        this.#waiting.at(-1)!.rpm = rpm;
        events.row?.(timeS, rpm, rpmSd, state);
      },
    });
    const rates = { lowestRateHz: LOWEST_RPM / 60, highestRateHz: HIGHEST_RPM / 60 };
    this.#reference = createReferenceChain({ sampleRateHz, ...rates }, (pulse) => this.#pulses.add(pulse));
    this.#strikeTurns = new StrikeTurns(strikesPerTurn(engine));
    this.#pulses = new CountedPulses(
      this.#strikeTurns,
      (fromS, untilS, leastHeight) => this.#reference.standing(fromS, untilS, leastHeight),
      (timeS, turns, sdS, isCounted) => this.#turns.add(timeS, turns, sdS, isCounted),
    );
  }

  get timeS(): number {
    return this.#decoder.timeS + this.#held / this.options.sampleRateHz;
  }

  push(clamp: Float32Array, sensor: Float32Array): void {
    for (let at = 0; at < clamp.length;) {
      const frames = Math.min(CHUNK_FRAMES - this.#held, clamp.length - at);
      this.#clamp.set(clamp.subarray(at, at + frames), this.#held);
      this.#sensor.set(sensor.subarray(at, at + frames), this.#held);
      this.#held += frames;
      at += frames;
      if (this.#held === CHUNK_FRAMES) this.#pushHeld();
    }
  }

  #pushHeld(): void {
    const [clamp, sensor] = [this.#clamp.subarray(0, this.#held), this.#sensor.subarray(0, this.#held)];
    this.#held = 0;
    this.#decoder.push(clamp);
    this.#reference.push(clamp, sensor);
    this.#tell(false);
  }

  lose(samples: number): void {
    this.#pushHeld();
    this.#decoder.lose(samples);
    this.#reference.lose(samples);
  }

  finish(): void {
    this.#pushHeld();
    this.#decoder.finish();
    this.#reference.finish();
    this.#tell(true);
  }

  place(sensor: SensorPlace): void {
    this.#place = sensor;
  }

  report = (): ReturnType<Decoder['report']> => this.#decoder.report();
  dwell = (): ReturnType<Decoder['dwell']> => this.#decoder.dwell();
  heard = (): ReturnType<Decoder['heard']> => this.#decoder.heard();
  timingS = (): number | null => this.#decoder.timingS();
  summary = (): ReturnType<Decoder['summary']> => this.#decoder.summary();
  counts = (): AdvanceCounts => ({
    sparks: this.#sparks,
    unknown: this.#unknown,
    beyond: this.#beyond,
    pulses: this.#reference.pulses,
    missedPulses: this.#reference.missed,
  });

  #struck(timeS: number, amplitude: number): void {
    this.events.strike?.(timeS, amplitude);
    this.#reference.struck(timeS);
    this.#strikeTurns.add(timeS);
    if (this.#strikes++ % TIMED_EVERY === 0) this.#timingS = this.#decoder.timingS() ?? this.#timingS;
    this.#waiting.push({ timeS, rpm: null });
  }

  /** Tells the sparks whose place between the pulses is known by now, and that of the next one. */
  #tell(last: boolean): void {
    this.#pulses.settle(last ? Infinity : this.#decoder.timeS);
    let told = 0;
    for (; told < this.#waiting.length; told++) {
      const { timeS, rpm } = this.#waiting[told]!;
      const nextS = this.#waiting[told + 1]?.timeS;
      const strikesRpm = rpm ?? this.#waiting[told + 1]?.rpm ?? null; // after a break only the next one may tell
      const waits = !last && this.#decoder.timeS - timeS <= WAITS_S;
      if (waits && (nextS === undefined || !this.#turns.knows(timeS))) break;
      const place = this.#placeAt(timeS);
      const soon = nextS === undefined || !place ? null : this.#soon(timeS, place, nextS);
      if (waits && !soon && !this.#turns.knows(nextS!)) break;
      const next = soon ?? (nextS === undefined ? null : this.#placeAt(nextS));
      if (place && isSure(place, strikesRpm) && this.#isBorneOut(timeS, place, nextS, next))
        this.#tellSpark(timeS, place);
      else this.#unknown++;
      [this.#beforeS, this.#before] = [timeS, place];
    }
    if (told > 0) this.#waiting.splice(0, told);
  }

  #tellSpark(timeS: number, { turns, rpm, sdTurns, isBeyond }: CrankPlace): void {
    this.#sparks++;
    if (isBeyond) this.#beyond++;
    const advanceDeg = sparkAdvanceDeg(turns, rpm, this.#place, this.#spacingDeg);
    this.events.advance?.(timeS, rpm, advanceDeg, Math.hypot(360 * sdTurns, 6 * rpm * this.#timingS));
  }

  /** Where the crank stands at a spark; the last one asked for is kept. */
  #placeAt(timeS: number): CrankPlace | null {
    if (timeS !== this.#askedS) [this.#askedS, this.#asked] = [timeS, this.#turns.at(timeS, MOST_TURNS)];
    return this.#asked;
  }

  /** Roughly the place of the next spark, where that is enough to see that this one is in line with both neighbours. */
  #soon(timeS: number, place: CrankPlace, nextS: number): CrankPlace | null {
    const { engine } = this.options;
    const allTurns = this.#turns.roughly(nextS, place.stretch);
    if (allTurns === null || !neighboursAgree(engine, this.#before, place, timeS - this.#beforeS))
      return null;
    const next = { ...place, allTurns };
    const offDeg = offWholeDeg(engine, place, next);
    const isInLine = offDeg !== null && Math.abs(offDeg) < IN_LINE_DEG;
    return isInLine && neighboursAgree(engine, place, next, nextS - timeS) ? next : null;
  }

  /** Whether the spark before or the next one stands as many turns from it as the ignition says, and neither another
   * number of them. Those further off tell nothing: over many intervals a wrong count of turns may come out whole. */
  #isBorneOut(timeS: number, place: CrankPlace, nextS: number | undefined, next: CrankPlace | null): boolean {
    const { engine } = this.options;
    const byBefore = neighboursAgree(engine, this.#before, place, timeS - this.#beforeS);
    const byNext = neighboursAgree(engine, place, next, (nextS ?? timeS) - timeS);
    const isOut = this.#outOfLine.is(this.#before, place, next);
    const isGainsaid = byBefore === false || byNext === false;
    if (isOut || (isGainsaid && 360 * place.sdTurns > GAINSAID_SD_DEG)) return false;
    return byBefore === true || byNext === true;
  }
}

/** @param strikesRpm the speed by the clamp's strikes; null: not known */
const isSure = ({ rpm, sdTurns, pulseSdTurns }: CrankPlace, strikesRpm: number | null): boolean =>
  rpm > 0 &&
  (strikesRpm === null || (rpm < MOST_RATIO * strikesRpm && strikesRpm < MOST_RATIO * rpm)) &&
  360 * sdTurns < Math.hypot(MOST_SD_DEG, 360 * pulseSdTurns);
