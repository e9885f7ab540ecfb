/** Samples of clamp and crank sensor in; strikes, trace rows and the advance of every spark out. Pure, block by block,
 * live or from a file. */
import { createReferenceChain } from '../../dsp/reference/reference-chain';
import { createDecoder, type DecodeEvents, type DecodeOptions, type Decoder } from '../decode';
import { HIGHEST_RPM, LOWEST_RPM } from '../engine';
import { CrankTurns } from './crank-turns';
import { sparkAdvanceDeg, sparkSpacingDeg, type SensorPlace } from './spark-advance';

export interface AdvanceEvents extends DecodeEvents {
  /** In order of time, three pulses of the sensor after its strike. @param rpm of the crank at that spark */
  advance?(timeS: number, rpm: number, advanceDeg: number): void;
}

export interface AdvanceCounts {
  /** Sparks with an advance, and without: no pulse stood near. */
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
const MOST_TURNS = 3;
/** A spark that waits this long for the sensor gets no advance. */
const WAITS_S = 8;

/** @throws RangeError if the engine's figures or the sample rate cannot be */
export function createAdvanceDecoder(
  options: DecodeOptions,
  sensor: SensorPlace,
  events: AdvanceEvents,
): AdvanceDecoder {
  return new BothChannels(options, sensor, events);
}

class BothChannels implements AdvanceDecoder {
  readonly #decoder: Decoder;
  readonly #reference: ReturnType<typeof createReferenceChain>;
  readonly #turns = new CrankTurns();
  readonly #spacingDeg: number;
  #place: SensorPlace;
  #waiting: number[] = [];
  #sparks = 0;
  #unknown = 0;
  #beyond = 0;

  constructor(
    options: DecodeOptions,
    place: SensorPlace,
    private readonly events: AdvanceEvents,
  ) {
    const { sampleRateHz, engine } = options;
    this.#place = place;
    this.#spacingDeg = sparkSpacingDeg(engine);
    this.#decoder = createDecoder(options, {
      ...events,
      strike: (timeS, amplitude) => this.#struck(timeS, amplitude),
    });
    const rates = { lowestRateHz: LOWEST_RPM / 60, highestRateHz: HIGHEST_RPM / 60 };
    this.#reference = createReferenceChain({ sampleRateHz, ...rates }, ({ timeS, turns }) =>
      this.#turns.add(timeS, turns),
    );
  }

  get timeS(): number {
    return this.#decoder.timeS;
  }

  push(clamp: Float32Array, sensor: Float32Array): void {
    this.#decoder.push(clamp);
    this.#reference.push(clamp, sensor);
    this.#tell(false);
  }

  lose(samples: number): void {
    this.#decoder.lose(samples);
    this.#reference.lose(samples);
  }

  finish(): void {
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
    this.#waiting.push(timeS);
  }

  /** Tells the sparks whose place between the pulses is known by now. */
  #tell(last: boolean): void {
    let told = 0;
    for (const timeS of this.#waiting) {
      const isLate = this.timeS - timeS > WAITS_S;
      if (!last && !isLate && !this.#turns.knows(timeS)) break;
      told++;
      const crank = this.#turns.at(timeS, MOST_TURNS);
      if (!crank || !(crank.rpm > 0)) {
        this.#unknown++;
        continue;
      }
      this.#sparks++;
      if (crank.isBeyond) this.#beyond++;
      const advanceDeg = sparkAdvanceDeg(crank.turns, crank.rpm, this.#place, this.#spacingDeg);
      this.events.advance?.(timeS, crank.rpm, advanceDeg);
    }
    if (told > 0) this.#waiting.splice(0, told);
  }
}
