/** The practice engine: a throttle, a housing and a distributor in; its sound, and where the lit mark stands, out. The
 * same seed and the same acts at the same frames give the same samples. Knows no screen and no clock. */
import { createRandom, type Random } from '../../dsp/maker/random';
import { SignalMaker } from '../../dsp/maker/signal-maker';
import { Closings, CLOSING_SOURCE, PLAIN_POINTS, type MadePoints } from '../scenario/closing';
import { Firing, type FiringEngine } from '../scenario/firing';
import { advanceAtSpeed, checkSteady, type Mechanism } from '../mechanism';
import { endTimeS, turnsIn, type Stretch } from '../scenario/motion';
import { PatientHand, PracticeCrank } from './practice-crank';
import {
  CLEAN_SOUND,
  PLAIN_SENSOR,
  recipeOf,
  SENSOR_SOURCE,
  WHINE_CYCLES_PER_TURN,
  type Sound,
} from '../scenario/sound';

export interface PracticeOptions {
  readonly sampleRateHz: number;
  readonly seed: number;
  /** What the weights, springs and stop are; see practice-distributor.ts for those on the bench. */
  readonly distributor: Mechanism;
  /** What the clamp sits on; null: No. 1 plug lead of a four-stroke with eight cylinders. */
  readonly engine: FiringEngine | null;
  /** Initial setting, crank degrees before TDC; null: 10. */
  readonly housingDeg: number | null;
  /** Beside the clamp a crank sensor is heard, 60 degrees before TDC. */
  readonly hasSensor?: boolean;
}

export interface PracticeState {
  readonly timeS: number;
  readonly rpm: number;
  /** 0 shut to 1 open, the helper's hand included. */
  readonly throttle: number;
  readonly housingDeg: number;
  /** The limiter holds sparks back. */
  readonly limited: boolean;
  /** Crank degrees before TDC of the last spark of No. 1; null before the first. */
  readonly sparkAdvanceDeg: number | null;
  /** Where the eye sees the lit mark against the tape, crank degrees before TDC; null before the first spark. */
  readonly markDeg: number | null;
  /** Flashes of the light so far: a new one has come when it changes. */
  readonly flashes: number;
}

export interface PracticeEngine {
  /** @param share 0 shut to 1 open; lets go of a held speed */
  setThrottle(share: number): void;
  /** Turns the housing. @param deg initial setting, crank degrees before TDC, -30 to 60 */
  setHousing(deg: number): void;
  /** Fits other springs or another stop. */
  fit(distributor: Mechanism): void;
  /** A patient helper takes the throttle and holds a speed, 400 to 6400 rpm; null lets go where it stands. */
  holdSpeed(rpm: number | null): void;
  /** Runs on by so many samples. @returns one array for each channel: the clamp's, and the crank sensor's where there is one, full scale ±1 */
  render(frames: number): Float32Array<ArrayBuffer>[];
  /** How things stand after the last sample made. */
  state(): PracticeState;
}

/** Quiet, but not a laboratory: the other leads, the spark going out, a little hum and whine. */
const PRACTICE_SOUND: Sound = {
  ...CLEAN_SOUND,
  peak: 0.4,
  amplitudeScatter: 0.1,
  kick: { share: -0.3, delayS: 1.3e-3 },
  noiseBelowDb: 42,
  hum: { hz: 50, share: 0.04 },
  whineShare: 0.02,
};

/** A coil lead has points: closed for so much of the way, as they usually are. */
const DWELL_SHARE = 0.62;
const pointsOf = ({ pickup, cylinders }: FiringEngine): MadePoints | null =>
  pickup === 'coil' ? { ...PLAIN_POINTS, dwellDeg: (DWELL_SHARE * 360) / cylinders } : null;

const DEFAULT_ENGINE: FiringEngine = { strokes: 4, cylinders: 8, pickup: 'plug' };

/** Standard deviation of a spark's place: play in the drive, more of it at speed. */
const sparkScatterDeg = (rpm: number): number => 0.15 + 0.08e-3 * rpm;
/** Standard deviation with which an eye sets a flash against the tape. */
const EYE_SCATTER_DEG = 0.35;

/** Where a crank sensor stands, alone or beside the clamp. */
const SENSOR_BEFORE_TDC_DEG = 60;

interface Flash {
  readonly timeS: number;
  readonly advanceDeg: number;
  readonly markDeg: number;
}

/** @throws RangeError if the distributor has no curve, or an engine fact or the rate cannot be */
export function createPracticeEngine(options: PracticeOptions): PracticeEngine {
  return new Practice(options);
}

class Practice implements PracticeEngine {
  readonly #maker: SignalMaker;
  readonly #crank: PracticeCrank;
  readonly #firing: Firing;
  readonly #closings: Closings | null;
  readonly #eye: Random;
  #distributor: Mechanism;
  #housingDeg: number;
  #hand: PatientHand | null = null;
  /** Stretches not yet wholly heard: the whine follows them. */
  #stretches: Stretch[] = [];
  /** Flashes made ahead of the sound, and the last that was seen. */
  #ahead: Flash[] = [];
  #seen: Flash | null = null;
  #flashes = 0;

  constructor({ sampleRateHz, seed, distributor, engine, housingDeg, hasSensor }: PracticeOptions) {
    const facts = engine ?? DEFAULT_ENGINE;
    this.#distributor = checked(distributor);
    this.#housingDeg = housingDeg ?? 10;
    const play = createRandom(seed, 11);
    this.#eye = createRandom(seed, 12);
    this.#crank = new PracticeCrank(facts.strokes / 2, createRandom(seed, 13));
    const sensor = facts.pickup === 'sensor' || hasSensor ? PLAIN_SENSOR : null;
    this.#firing = new Firing({
      engine: facts,
      firingDeg: null,
      advanceDeg: (rpm) => this.#advanceDeg(rpm) + sparkScatterDeg(rpm) * play.normal(),
      crankBeforeTdcDeg: sensor && SENSOR_BEFORE_TDC_DEG,
    });
    const points = pointsOf(facts);
    this.#closings = points && new Closings(points, facts, seed);
    const neighbours = facts.pickup === 'plug' || facts.pickup === 'wasted';
    const sound: Sound = { ...PRACTICE_SOUND, crosstalk: neighbours ? { lowest: 0.04, highest: 0.2 } : null };
    const recipe = recipeOf(sound, sensor, {
      sampleRateHz,
      bits: null,
      seed,
      pickup: facts.pickup,
      plan: this.#firing.plan,
      points,
      whineCyclesAt: (timeS) => WHINE_CYCLES_PER_TURN * this.#turnsAt(timeS),
    });
    this.#maker = new SignalMaker(recipe);
  }

  setThrottle(share: number): void {
    if (!(share >= 0 && share <= 1)) throw new RangeError(`throttle must be from 0 to 1, got ${share}`);
    this.#hand = null;
    this.#crank.throttle = share;
  }

  setHousing(deg: number): void {
    if (!(deg >= -30 && deg <= 60))
      throw new RangeError(`housing must be set from -30 to 60 degrees, got ${deg}`);
    this.#housingDeg = deg;
  }

  fit(distributor: Mechanism): void {
    this.#distributor = checked(distributor);
  }

  holdSpeed(rpm: number | null): void {
    if (rpm !== null && !(rpm >= 400 && rpm <= 6400))
      throw new RangeError(`a speed to hold must be from 400 to 6400 rpm, got ${rpm}`);
    this.#hand = rpm === null ? null : new PatientHand(rpm, this.#crank.throttle);
  }

  render(frames: number): Float32Array<ArrayBuffer>[] {
    const untilS = this.#maker.neededUntilS(frames);
    while (this.#crank.timeS <= untilS) this.#step();
    const block = this.#maker.render(frames);
    this.#look();
    return block;
  }

  state(): PracticeState {
    return {
      timeS: this.#maker.timeS,
      rpm: this.#crank.rpm,
      throttle: this.#crank.throttle,
      housingDeg: this.#housingDeg,
      limited: this.#crank.cut,
      sparkAdvanceDeg: this.#seen?.advanceDeg ?? null,
      markDeg: this.#seen?.markDeg ?? null,
      flashes: this.#flashes,
    };
  }

  #advanceDeg(rpm: number): number {
    return this.#housingDeg + advanceAtSpeed(this.#distributor, rpm);
  }

  #step(): void {
    const crank = this.#crank;
    if (this.#hand) crank.throttle = this.#hand.throttleFor(crank.rpm, crank.throttle);
    crank.advanceDeg = this.#advanceDeg(crank.rpm);
    const stretch = crank.step();
    this.#stretches.push(stretch);
    for (const event of this.#firing.follow(stretch)) {
      if (event.kind === 'spark') this.#closings?.opened(event);
      if (event.kind === 'crank') this.#maker.add({ timeS: event.timeS, source: SENSOR_SOURCE });
      else if (!crank.cut) {
        this.#maker.add({ timeS: event.timeS, source: event.lead });
        if (event.lead === 0) this.#flash(event.timeS, event.advanceDeg);
      }
    }
    for (const timeS of this.#closings?.follow(stretch) ?? [])
      this.#maker.add({ timeS, source: CLOSING_SOURCE });
  }

  #flash(timeS: number, advanceDeg: number): void {
    this.#ahead.push({ timeS, advanceDeg, markDeg: advanceDeg + EYE_SCATTER_DEG * this.#eye.normal() });
  }

  /** The light flashes when its spark is heard, not when it was worked out. */
  #look(): void {
    const { timeS } = this.#maker;
    while (this.#ahead[0] && this.#ahead[0].timeS <= timeS) {
      this.#seen = this.#ahead.shift()!;
      this.#flashes++;
    }
  }

  #turnsAt(timeS: number): number {
    while (this.#stretches.length > 1 && timeS > endTimeS(this.#stretches[0]!)) this.#stretches.shift();
    return turnsIn(this.#stretches[0]!, timeS);
  }
}

function checked(distributor: Mechanism): Mechanism {
  checkSteady(distributor);
  return distributor;
}
