/** The signal maker: instants and a recipe in, samples out, a block at a time, the same whatever the blocks. Knows
 * seconds and hertz; what the instants mean is told elsewhere. One thread, memory for the sounding shapes only. */
import { mixShape, placeShape, type PlacedShape, type ShapeTable } from './anti-alias';
import { LostSchedule, type LostBlock } from './lost-schedule';
import { createRandom, type Random } from './random';
import type { ChannelRecipe, Impulse, SignalRecipe, StrayRecipe, VoiceRecipe } from './signal-recipe';
import {
  couplingStage,
  humStage,
  noiseStage,
  pumpingStage,
  roundingStage,
  toneStage,
  type Stage,
} from './signal-stages';
import { pulseTable, type PulseShape } from './strike-shape';

/** A spark that goes out kicks a little slower and rings as the clamp does. */
const KICK_RISE = 1.5;

interface Voice {
  readonly recipe: VoiceRecipe;
  readonly table: ShapeTable;
  readonly kickTable: ShapeTable | null;
}

/** What one impulse drew; drawn once, so that every channel hears the same spark. */
interface Drawn {
  readonly size: number;
  readonly kickShare: number;
  readonly kickDelay: number;
}

function voicesOf(recipes: readonly VoiceRecipe[], sampleRateHz: number): Voice[] {
  const drawn = new Map<string, ShapeTable>();
  const tableOf = (shape: PulseShape): ShapeTable => {
    const key = JSON.stringify(shape);
    const table = drawn.get(key) ?? pulseTable(shape, sampleRateHz);
    drawn.set(key, table);
    return table;
  };
  return recipes.map((recipe) => {
    const { shape, kick } = recipe;
    const kicks = kick !== null && shape.kind === 'strike';
    const kickTable = kicks ? tableOf({ ...shape, riseS: shape.riseS * KICK_RISE }) : null;
    return { recipe, table: tableOf(shape), kickTable };
  });
}

/** Relays and static: three sorts of strange impulse, at random instants. */
class Strays {
  readonly #tables: ShapeTable[];
  #nextS: number;
  constructor(
    private readonly recipe: StrayRecipe,
    sampleRateHz: number,
    private readonly random: Random,
  ) {
    this.#tables = [2e-6, 15e-6, 60e-6].map((riseS) =>
      pulseTable(
        {
          kind: 'strike',
          riseS,
          fallS: 3 * riseS + 20e-6,
          ringHz: 3500,
          ringShare: 0.2,
          ringDecayS: 0.15e-3,
        },
        sampleRateHz,
      ),
    );
    this.#nextS = random.wait(1 / recipe.perSecond);
  }
  /** Places all strays that sound before a sample. */
  placeUntil(sample: number, clockHz: number, into: PlacedShape[]): void {
    const { random, recipe } = this;
    for (
      ;
      this.#nextS * clockHz - this.#tables[0]!.leadSamples <= sample;
      this.#nextS += random.wait(1 / recipe.perSecond)
    ) {
      const table = this.#tables[Math.floor(3 * random.uniform())]!;
      const sign = random.uniform() < 0.5 ? -1 : 1;
      into.push(
        placeShape(
          table,
          this.#nextS * clockHz,
          sign * random.between(recipe.lowestAmplitude, recipe.highestAmplitude),
        ),
      );
    }
  }
}

/** One channel: its voices, its strays and the stages behind them. */
class Channel {
  readonly voices: Voice[];
  #sounding: PlacedShape[] = [];
  #straying: PlacedShape[] = [];
  readonly #strays: Strays | null;
  readonly #stages: Stage[] = [];
  constructor(
    recipe: ChannelRecipe,
    private readonly clockHz: number,
    signal: SignalRecipe,
    stream: number,
  ) {
    const random = (purpose: number): Random => createRandom(signal.seed, 16 * stream + purpose);
    this.voices = voicesOf(recipe.voices, clockHz);
    this.#strays = recipe.strays?.perSecond ? new Strays(recipe.strays, clockHz, random(0)) : null;
    const { hum, whine, acCouplingHz, noiseSd, pumping, inverted } = recipe;
    if (hum) this.#stages.push(humStage(hum, clockHz, random(1)));
    if (whine) this.#stages.push(toneStage(whine, clockHz));
    if (acCouplingHz !== null) this.#stages.push(couplingStage(acCouplingHz, clockHz));
    if (noiseSd > 0) this.#stages.push(noiseStage(noiseSd, random(2)));
    if (pumping) this.#stages.push(pumpingStage(pumping, clockHz, random(3)));
    if (inverted) this.#stages.push((block) => block.forEach((x, n) => (block[n] = -x)));
    this.#stages.push(roundingStage(signal.bits));
  }
  sound(impulse: Impulse, { size, kickShare, kickDelay }: Drawn): void {
    for (const { recipe, table, kickTable } of this.voices) {
      if (recipe.source !== impulse.source) continue;
      const scale = recipe.amplitude * (impulse.scale ?? 1) * size;
      this.#sounding.push(placeShape(table, impulse.timeS * this.clockHz, scale));
      const { kick } = recipe;
      if (!kick || !kickTable || impulse.kicks === false) continue;
      const outS = impulse.timeS + kick.delayS * (1 + kick.scatter * kickDelay);
      this.#sounding.push(
        placeShape(kickTable, outS * this.clockHz, scale * kick.share * (1 + kick.scatter * kickShare)),
      );
    }
  }
  render(start: number, frames: number): Float64Array {
    const block = new Float64Array(frames);
    const end = start + frames;
    this.#strays?.placeUntil(end, this.clockHz, this.#straying);
    for (const placed of this.#sounding) mixShape(block, start, placed);
    for (const placed of this.#straying) mixShape(block, start, placed);
    this.#sounding = this.#sounding.filter((placed) => placed.lastSample >= end);
    this.#straying = this.#straying.filter((placed) => placed.lastSample >= end);
    for (const stage of this.#stages) stage(block, start);
    return block;
  }
}

/** Two standard deviations at the most, so that nothing changes sign. */
const bounded = (normal: number): number => Math.max(-2, Math.min(2, normal));

export class SignalMaker {
  /** An impulse sounds so long before its instant: it must be added before those samples are made. */
  readonly leadS: number;
  readonly #clockHz: number;
  readonly #channels: Channel[];
  readonly #random: Random;
  readonly #lost: LostSchedule;
  #made = 0;

  /** @throws RangeError if the recipe holds a number that cannot be */
  constructor(private readonly recipe: SignalRecipe) {
    if (!(recipe.sampleRateHz >= 1000))
      throw new RangeError(`sampleRateHz must be 1000 or more, got ${recipe.sampleRateHz}`);
    this.#clockHz = recipe.sampleRateHz * (1 + recipe.clockPpm * 1e-6);
    this.#channels = recipe.channels.map((channel, i) => new Channel(channel, this.#clockHz, recipe, i + 1));
    this.#random = createRandom(recipe.seed, 1);
    this.#lost = new LostSchedule(recipe.lost, recipe.sampleRateHz, createRandom(recipe.seed, 2));
    const leads = this.#channels.flatMap((channel) => channel.voices.map(({ table }) => table.leadSamples));
    this.leadS = Math.max(0, ...leads) / this.#clockHz;
  }

  /** True time of the next sample. */
  get timeS(): number {
    return this.#made / this.#clockHz;
  }
  /** The samples that vanished so far. */
  get lost(): readonly LostBlock[] {
    return this.#lost.blocks;
  }
  /** All impulses up to this true time must be added before so many frames are made. */
  neededUntilS(frames: number): number {
    return this.#lost.sampleOf(this.#lost.delivered + frames) / this.#clockHz + this.leadS;
  }
  /** Where a true time stands in the samples handed out, seconds of the file's own rate; null if it was lost. Known
   * for instants before the next sample only. */
  fileTimeS(timeS: number): number | null {
    const frame = this.#lost.frameOf(timeS * this.#clockHz);
    return frame === null ? null : frame / this.recipe.sampleRateHz;
  }

  /** Adds an impulse. Instants may come in any order, but the same order gives the same signal.
   * @throws RangeError if samples in which it sounds are already made */
  add(impulse: Impulse): void {
    if (!(impulse.timeS - this.leadS >= this.timeS) && this.#made > 0)
      throw new RangeError(
        `an impulse must be added ${this.leadS} s before its samples are made, got ${impulse.timeS} s at ${this.timeS} s`,
      );
    const [size, kickShare, kickDelay] = [
      this.#random.normal(),
      this.#random.normal(),
      this.#random.normal(),
    ];
    const drawn = {
      size: 1 + this.recipe.amplitudeScatter * bounded(size),
      kickShare: bounded(kickShare),
      kickDelay: bounded(kickDelay),
    };
    for (const channel of this.#channels) channel.sound(impulse, drawn);
  }

  /** Makes the next samples; lost ones are made and thrown away.
   * @returns one array for each channel, `frames` long, full scale ±1 */
  render(frames: number): Float32Array<ArrayBuffer>[] {
    const out = this.#channels.map(() => new Float32Array(frames));
    for (let done = 0; done < frames;) {
      const stretch = this.#lost.next(frames - done);
      this.#channels.forEach((channel, c) => {
        const made = channel.render(this.#made, stretch.skip + stretch.keep);
        out[c]!.set(made.subarray(stretch.skip), done);
      });
      this.#made += stretch.skip + stretch.keep;
      done += stretch.keep;
    }
    return out;
  }
}

/** A whole signal from instants in order, pulled as they are needed: an hour takes no more memory than a second.
 * @param impulses by true time, not falling @param frames how many to hand out
 * @returns blocks of `blockFrames` (the last may be shorter), one array for each channel */
export function* makeSignal(
  maker: SignalMaker,
  impulses: Iterable<Impulse>,
  frames: number,
  blockFrames = 4096,
): Generator<Float32Array<ArrayBuffer>[]> {
  const source = impulses[Symbol.iterator]();
  let waiting = source.next();
  for (let done = 0; done < frames; done += blockFrames) {
    const size = Math.min(blockFrames, frames - done);
    const untilS = maker.neededUntilS(size);
    for (; !waiting.done && waiting.value.timeS <= untilS; waiting = source.next()) maker.add(waiting.value);
    yield maker.render(size);
  }
}
