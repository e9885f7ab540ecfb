/** A made recording: a scenario in, samples block by block and their exact truth out, both from the model and neither
 * from the other. An hour takes no more memory than a second if the truth is taken as it comes. */
import { createRandom, type Random } from '../../dsp/maker/random';
import { makeSignal, SignalMaker } from '../../dsp/maker/signal-maker';
import type { Impulse } from '../../dsp/maker/signal-recipe';
import { Closings, CLOSING_SOURCE } from './closing';
import { Firing, type CrankPulse, type Spark } from './firing';
import { checkProfile, endTimeS, profileMotion, turnsReader } from './motion';
import { curveAdvanceDeg, type Scenario } from './scenario';
import { recipeOf, SENSOR_SOURCE, WHINE_CYCLES_PER_TURN } from './sound';

/** fired: heard. misfire, limiter: no spark came. lost: it fired, but its samples vanished. */
export type Fate = 'fired' | 'misfire' | 'limiter' | 'lost';

/** One strike that the clamped lead made or should have made; with a `sensor` pick-up, one pulse. */
export interface TrueStrike {
  /** Seconds in the recording, from its first sample; null if lost. */
  readonly timeS: number | null;
  /** Seconds by the engine's own time: no lost samples, no clock error, no quiet start. */
  readonly engineTimeS: number;
  /** Speed at the instant. */
  readonly rpm: number;
  /** Mean speed since the strike before, misfires counted; null for the first. */
  readonly rpmMean: number | null;
  /** Crank degrees before TDC; null for a sensor's pulse. */
  readonly advanceDeg: number | null;
  readonly fate: Fate;
}

export interface Simulation {
  readonly sampleRateHz: number;
  readonly channelCount: number;
  readonly bits: 16 | 24 | null;
  readonly frames: number;
  /** One array a channel, full scale ±1. To be read once. */
  readonly blocks: Generator<Float32Array<ArrayBuffer>[]>;
  /** The clamped lead's strikes in the samples handed out since it was last asked. */
  takeStrikes(): TrueStrike[];
  /** The crank sensor's pulses, likewise; none where there is no sensor. */
  takePulses(): TrueStrike[];
}

/** A source that no voice listens to. */
const NOBODY = -1;

/** Who fires and who does not. */
class Fates {
  #cutLeft = 0;
  #runLeft = 0;
  constructor(
    private readonly scenario: Scenario,
    private readonly leads: number,
    private readonly random: Random,
  ) {}
  next(rpm: number): Fate {
    const { limiterRpm, misfireShare } = this.scenario;
    const misfires = this.random.uniform() < misfireShare;
    if (limiterRpm !== null && rpm > limiterRpm && this.#limited()) return 'limiter';
    return misfires ? 'misfire' : 'fired';
  }
  /** Cuts of three to ten rounds of all leads, with one or two rounds between them. */
  #limited(): boolean {
    if (this.#cutLeft <= 0 && this.#runLeft <= 0) {
      this.#cutLeft = Math.round(this.leads * this.random.between(3, 10));
      this.#runLeft = Math.round(this.leads * this.random.between(1, 2));
    }
    if (this.#cutLeft > 0) return this.#cutLeft-- > 0;
    this.#runLeft--;
    return false;
  }
}

interface Row extends Omit<TrueStrike, 'timeS' | 'rpmMean'> {
  readonly turns: number;
  /** When its sound comes, by the engine's time. */
  readonly heardS: number;
}

/** The scenario's events as impulses in order of time, noting the truth of each as it goes. */
class Events {
  readonly strikes: Row[] = [];
  readonly pulses: Row[] = [];
  readonly firing: Firing;
  readonly #closings: Closings | null;
  readonly #fates: Fates;
  readonly #missed: Random;
  readonly #repeat: Random;
  readonly #extra: Random;
  #waiting: Impulse[] = [];

  constructor(private readonly scenario: Scenario) {
    const { seed, engine, sensor, curve, sparkScatterDeg } = scenario;
    const scatter = createRandom(seed, 21);
    this.firing = new Firing({
      engine,
      firingDeg: scenario.firingDeg,
      advanceDeg: (rpm) => curveAdvanceDeg(curve, rpm) + sparkScatterDeg * scatter.normal(),
      crankBeforeTdcDeg: sensor?.beforeTdcDeg ?? null,
    });
    this.#closings = scenario.points && new Closings(scenario.points, engine, seed);
    this.#fates = new Fates(scenario, this.firing.plan.offsetTurns.length, createRandom(seed, 22));
    this.#missed = createRandom(seed, 23);
    this.#repeat = createRandom(seed, 25);
    this.#extra = createRandom(seed, 26);
  }

  *impulses(): Generator<Impulse> {
    for (const stretch of motionOf(this.scenario)) {
      for (const event of this.firing.follow(stretch)) {
        if (event.kind === 'crank') this.#pulse(event);
        else this.#spark(event);
      }
      for (const timeS of this.#closings?.follow(stretch) ?? [])
        this.#waiting.push({ timeS, source: CLOSING_SOURCE });
      this.#waiting.sort((a, b) => a.timeS - b.timeS);
      const later = this.#waiting.findIndex(({ timeS }) => timeS > endTimeS(stretch));
      const due = this.#waiting.splice(0, later === -1 ? this.#waiting.length : later);
      // who pulls must see time go on, even where nothing fires
      yield* due.length > 0 ? due : [{ timeS: endTimeS(stretch), source: NOBODY }];
    }
  }

  #pulse({ timeS, rpm, turns }: CrankPulse): void {
    const { missedShare = 0, delayS = 0, extraShare = 0 } = this.scenario.sensor ?? {};
    const isMissed = this.#missed.uniform() < missedShare;
    const heardS = timeS + delayS;
    this.pulses.push({
      engineTimeS: timeS,
      rpm,
      turns,
      advanceDeg: null,
      fate: isMissed ? 'misfire' : 'fired',
      heardS,
    });
    if (!isMissed) this.#waiting.push({ timeS: heardS, source: SENSOR_SOURCE });
    if (this.#extra.uniform() >= extraShare) return;
    const afterS = (60 / rpm) * this.#extra.between(0.1, 0.9);
    const scale = this.#extra.between(0.5, 1);
    this.#waiting.push({ timeS: heardS + afterS, source: SENSOR_SOURCE, scale });
  }

  #spark({ timeS, rpm, turns, lead, advanceDeg }: Spark): void {
    const fate = this.#fates.next(rpm);
    this.#closings?.opened({ turns, lead });
    if (lead === 0 || this.scenario.engine.pickup === 'coil')
      this.strikes.push({ engineTimeS: timeS, heardS: timeS, rpm, turns, advanceDeg, fate });
    if (fate !== 'fired') return;
    this.#waiting.push({ timeS, source: lead });
    const { repeats } = this.scenario;
    if (!repeats || rpm >= repeats.belowRpm) return;
    for (let after = repeats.spacingS; 6 * rpm * after <= repeats.spanDeg; after += repeats.spacingS)
      this.#waiting.push({
        timeS: timeS + after,
        source: lead,
        scale: this.#repeat.between(0.6, 0.95),
        kicks: false,
      });
  }
}

/** The same scenario always turns the same way, so that what follows the speed can follow it by itself. */
const motionOf = (scenario: Scenario): ReturnType<typeof profileMotion> =>
  profileMotion(scenario.profile, scenario.engine.strokes / 2, createRandom(scenario.seed, 24));

/** Gives rows their place in the recording once their samples are made, and the speed since the row before. */
function rowTaker(rows: Row[], maker: SignalMaker, quietStartS: number): () => TrueStrike[] {
  let before: Row | null = null;
  return () => {
    const taken: TrueStrike[] = [];
    while (rows[0] && rows[0].heardS < maker.timeS) {
      const row = rows.shift()!;
      const { engineTimeS, heardS, rpm, advanceDeg, fate } = row;
      const inFileS = maker.fileTimeS(heardS);
      const rpmMean = before && (60 * (row.turns - before.turns)) / (engineTimeS - before.engineTimeS);
      taken.push({
        timeS: inFileS === null ? null : quietStartS + inFileS,
        engineTimeS,
        rpm,
        rpmMean,
        advanceDeg,
        fate: inFileS === null && fate === 'fired' ? 'lost' : fate,
      });
      before = row;
    }
    return taken;
  };
}

const BLOCK_FRAMES = 4096;
function* silence(frames: number, channels: number): Generator<Float32Array<ArrayBuffer>[]> {
  for (let done = 0; done < frames; done += BLOCK_FRAMES)
    yield Array.from({ length: channels }, () => new Float32Array(Math.min(BLOCK_FRAMES, frames - done)));
}

/** @throws RangeError if a figure of the scenario cannot be */
export function simulate(scenario: Scenario): Simulation {
  checkScenario(scenario);
  const { sampleRateHz, bits, seconds, seed, engine, sound, sensor, quietStartS, quietEndS } = scenario;
  const events = new Events(scenario);
  const turnsAt = turnsReader(motionOf(scenario));
  const whineCyclesAt = (timeS: number): number => WHINE_CYCLES_PER_TURN * turnsAt(timeS);
  const { plan } = events.firing;
  const recipe = recipeOf(sound, sensor, {
    sampleRateHz,
    bits,
    seed,
    pickup: engine.pickup,
    plan,
    points: scenario.points,
    whineCyclesAt,
  });
  const maker = new SignalMaker(recipe);
  const channelCount = recipe.channels.length;
  const [frames, before, after] = [seconds, quietStartS, quietEndS].map((s) =>
    Math.round(s * sampleRateHz),
  ) as [number, number, number];
  const startS = before / sampleRateHz;
  const takePulses = rowTaker(events.pulses, maker, startS);
  return {
    sampleRateHz,
    channelCount,
    bits,
    frames,
    blocks: (function* () {
      yield* silence(before, channelCount);
      yield* makeSignal(maker, events.impulses(), frames - before - after, BLOCK_FRAMES);
      yield* silence(after, channelCount);
    })(),
    takeStrikes: engine.pickup === 'sensor' ? takePulses : rowTaker(events.strikes, maker, startS),
    takePulses: engine.pickup === 'sensor' ? () => [] : takePulses,
  };
}

function checkScenario(scenario: Scenario): void {
  const { seconds, quietStartS, quietEndS, misfireShare, engine, sensor, sound, sparkScatterDeg } = scenario;
  const fits = (what: string, value: number, from: number, to: number): void => {
    if (!(value >= from && value <= to))
      throw new RangeError(`${what} must be from ${from} to ${to}, got ${value}`);
  };
  fits('seconds', seconds, 0, 1e6);
  fits('the quiet start and end together', quietStartS + quietEndS, 0, seconds);
  fits('the share of misfires', misfireShare, 0, 1);
  fits('the scatter of the sparks', sparkScatterDeg, 0, 10);
  fits('the peak', sound.peak, 1e-6, 1000);
  if (sensor) fits('degrees of the sensor before TDC', sensor.beforeTdcDeg, 0, 359);
  if (sensor) fits('the share of missed pulses', sensor.missedShare, 0, 1);
  if (sensor) fits('the share of turns with an extra pulse', sensor.extraShare, 0, 1);
  if (sensor) fits('the delay of the sensor, seconds,', sensor.delayS, 0, 0.01);
  if (scenario.points && engine.pickup !== 'coil')
    throw new RangeError(`points are heard closing on a coil lead, not on ${engine.pickup}`);
  checkProfile(scenario.profile);
  curveAdvanceDeg(scenario.curve, scenario.profile.corners[0]!.rpm); // a curve that is none throws
  if (engine.pickup === 'sensor' && !sensor) throw new RangeError('a sensor pick-up needs a sensor');
}

/** A whole simulation in memory, for recordings of seconds.
 * @returns each channel's samples, the strikes and the pulses */
export function simulateWhole(scenario: Scenario): {
  channels: Float32Array<ArrayBuffer>[];
  strikes: TrueStrike[];
  pulses: TrueStrike[];
} {
  const simulation = simulate(scenario);
  const channels = Array.from({ length: simulation.channelCount }, () => new Float32Array(simulation.frames));
  let at = 0;
  for (const block of simulation.blocks) {
    block.forEach((samples, c) => channels[c]!.set(samples, at));
    at += block[0]!.length;
  }
  return { channels, strikes: simulation.takeStrikes(), pulses: simulation.takePulses() };
}
