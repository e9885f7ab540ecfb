/** What to do better about the sound: figures of the last strikes in; what is so and what to do out, each sentence from
 * the figures that stand beside it. Pure; knows no sample. */

/** The last strikes in figures. Shares are of full scale where not said. */
export interface SignalFigures {
  /** Strikes looked back on, two hundred at most. */
  readonly strikes: number;
  /** Due among them but not come, and the most in a row. */
  readonly missed: number;
  readonly mostMissed: number;
  /** Impulses half as tall as a strike or more that belong to nothing. */
  readonly strays: number;
  /** Strikes with a sample at full scale. */
  readonly clipped: number;
  /** Usual height of a strike, hum and slow swings taken out. */
  readonly height: number;
  /** Standard deviation of heights from strike to strike, share of the usual one. */
  readonly heightScatter: number;
  /** How far heights swing slowly besides, decibels. */
  readonly swingDb: number;
  /** Height that one strike in twenty stays below, by the usual one. */
  readonly smallestShare: number;
  /** Usual strike over the noise beside it, decibels. */
  readonly overNoiseDb: number | null;
  /** The tallest other lead by the strike; null: none seen. */
  readonly neighbourShare: number | null;
  /** Whether there were strikes enough to tell other leads and strays. */
  readonly knowsNeighbours: boolean;
  /** Its tallest swing goes down; null where it is cut off, which hides it. */
  readonly pointsDown: boolean | null;
  /** Peak of the last second, and the hum in it. */
  readonly peak: number;
  readonly humAmplitude: number | null;
  readonly humHz: number | null;
}

export interface SignalAdvice {
  /** wrong: costs strikes or their times; look: may; well: as it should be. */
  readonly kind: 'wrong' | 'look' | 'well';
  /** What is so, with its figure. */
  readonly says: string;
  /** What to do; empty where nothing is. */
  readonly act: string;
}

export const NOTHING_TO_MEND = 'Nothing to mend.';

/** Cut-off strikes: one in fifty is worth a look, one in five costs times. */
const CLIPPED = { look: 0.02, wrong: 0.2 } as const;
/** So near full scale the next taller strike is cut off: strikes differ by 5 to 30 % (practice). */
const NEAR_FULL = 0.9;
/** Strikes come from 0.005 of full scale up: below this the input's own steps begin to tell. */
const WEAK = 0.02;
/** Noise stands 12 to 60 dB below a strike; from 20 dB on single strikes are timed well. */
const OVER_NOISE_DB = { wrong: 12, look: 20 } as const;
/** Other leads come at 3 to 65 % of the strike: above, they may be taken for it. */
const NEIGHBOUR = { look: 0.35, wrong: 0.65 } as const;
/** Strikes differ by 5 to 30 % from one to the next. */
const SCATTER = 0.33;
/** A gain control pumps by up to 20 dB; a clamp held still swings by less than this. */
const SWING_DB = 7;
const STRAYS = 0.02;
/** Up to one strike in ten is missing on engines that misfire. */
const MISSED = { look: 0.01, wrong: 0.1 } as const;
/** As many in a row are no single misfires. */
const IN_A_ROW = 4;
/** A strike that stands so far over the noise is not missed for being small. */
const SURELY_HEARD_DB = 16;
/** Hum of half the strike leaves little room above it. */
const HUM = 0.5;

const percent = (share: number): string => `${(100 * share).toFixed(share < 0.095 ? 1 : 0)} %`;
const db = (value: number): string => `${value.toFixed(0).replace('-', '−')} dB`;
const decibels = (share: number): number => 20 * Math.log10(share);
const atLeast = (value: number, { look, wrong }: { look: number; wrong: number }): 'wrong' | 'look' | null =>
  value >= wrong ? 'wrong' : value >= look ? 'look' : null;

/** What is wrong first; where nothing is, that.
 * @returns never empty */
export function signalAdvice(figures: SignalFigures): SignalAdvice[] {
  const found = [
    clipping(figures),
    weakness(figures),
    noise(figures),
    neighbours(figures),
    swing(figures),
    scatter(figures),
    missing(figures),
    strays(figures),
    hum(figures),
  ].filter((advice) => advice !== null);
  const nothing: SignalAdvice = { kind: 'well', says: NOTHING_TO_MEND, act: '' };
  const toMend = [
    ...found.filter(({ kind }) => kind === 'wrong'),
    ...found.filter(({ kind }) => kind === 'look'),
  ];
  const upsideDown = pointing(figures);
  return [...(toMend.length > 0 ? toMend : [nothing]), ...(upsideDown ? [upsideDown] : [])];
}

function clipping({ clipped, strikes, peak }: SignalFigures): SignalAdvice | null {
  const kind = atLeast(clipped / strikes, CLIPPED);
  if (kind)
    return {
      kind,
      says: `${clipped} of the last ${strikes} strikes are cut off at full scale.`,
      act: 'Bring the input level down; if it is down already, move the clamp away from the coil and the other leads, or put a stronger limiting interface between.',
    };
  if (peak < NEAR_FULL) return null;
  return {
    kind: 'look',
    says: `The sound peaks at ${percent(peak)} of full scale: a taller strike is cut off.`,
    act: 'Bring the input level down a little.',
  };
}

function weakness({ height }: SignalFigures): SignalAdvice | null {
  if (height >= WEAK) return null;
  return {
    kind: 'look',
    says: `Strikes reach only ${percent(height)} of full scale.`,
    act: 'Turn the input level up; if it is up already, close the clamp fully and move it nearer the plug.',
  };
}

function noise({ overNoiseDb }: SignalFigures): SignalAdvice | null {
  if (overNoiseDb === null || overNoiseDb >= OVER_NOISE_DB.look) return null;
  return {
    kind: overNoiseDb < OVER_NOISE_DB.wrong ? 'wrong' : 'look',
    says: `Strikes stand only ${db(overNoiseDb)} over what is beside them.`,
    act: 'Close the clamp fully, move it nearer the plug, and keep its cable away from the alternator and the coil.',
  };
}

function neighbours({ neighbourShare }: SignalFigures): SignalAdvice | null {
  const kind = neighbourShare === null ? null : atLeast(neighbourShare, NEIGHBOUR);
  if (neighbourShare === null || !kind) return null;
  return {
    kind,
    says: `Another lead is heard at ${percent(neighbourShare)} of the strike (${db(decibels(neighbourShare))}).`,
    act: 'Turn the clamp, hold the leads apart where it sits, or move it along the lead, a hand’s width from the others.',
  };
}

function swing({ swingDb }: SignalFigures): SignalAdvice | null {
  if (swingDb < SWING_DB) return null;
  return {
    kind: 'look',
    says: `The strikes’ height swings slowly by ${db(swingDb)}.`,
    act: 'Turn automatic gain off in the system’s sound settings; if it is off, see that the clamp does not slip.',
  };
}

function scatter({ heightScatter }: SignalFigures): SignalAdvice | null {
  if (heightScatter < SCATTER) return null;
  return {
    kind: 'look',
    says: `Strikes differ by ${percent(heightScatter)} from one to the next.`,
    act: 'Clean the clamp’s faces, close it fully, and tie its cable down so that it does not shake.',
  };
}

/** Small strikes among those that came show that others may have been too small; tall ones alone, that none was there. */
function missing(figures: SignalFigures): SignalAdvice | null {
  const { missed, mostMissed, strikes, overNoiseDb, smallestShare } = figures;
  const due = strikes + missed;
  const kind = atLeast(missed / due, MISSED);
  if (!kind) return null;
  const smallestDb = overNoiseDb === null ? null : overNoiseDb + decibels(smallestShare);
  const inARow = mostMissed >= IN_A_ROW ? `, ${mostMissed} of them in a row` : '';
  const says = `${missed} of the last ${due} strikes did not come${inARow}.`;
  if (smallestDb === null || smallestDb < SURELY_HEARD_DB)
    return {
      kind,
      says: `${says} They may have been too weak${smallestDb === null ? '' : `: the smallest that came stand ${db(smallestDb)} over what is beside them`}.`,
      act: 'Bring the strikes up first: close the clamp fully, nearer the plug.',
    };
  const there = `Those that came stand ${db(smallestDb)} or more over what is beside them: the missing ones were not there.`;
  return mostMissed >= IN_A_ROW
    ? {
        kind: 'look',
        says: `${says} ${there}`,
        act: 'A limiter cuts like this; so does a loose plug or lead of the clamp. Look at both.',
      }
    : { kind, says: `${says} ${there}`, act: 'The engine misfires: look at plug, lead, cap and points.' };
}

function strays({ strays, strikes, knowsNeighbours }: SignalFigures): SignalAdvice | null {
  if (!knowsNeighbours || strays <= STRAYS * strikes) return null;
  return {
    kind: 'look',
    says: `${strays} impulses among the last ${strikes} strikes belong to nothing.`,
    act: 'Keep the cable away from relays, coil and light; a clamp that is not quite closed, or a lead that leaks, does this too.',
  };
}

function hum({ humAmplitude, humHz, height }: SignalFigures): SignalAdvice | null {
  if (humAmplitude === null || humHz === null || humAmplitude < HUM * height) return null;
  return {
    kind: 'look',
    says: `Mains hum at ${humHz} Hz stands at ${percent(humAmplitude / height)} of the strike.`,
    act: 'Keep the cable off mains leads; run the laptop on its battery. The hum is taken out before strikes are found.',
  };
}

function pointing({ pointsDown }: SignalFigures): SignalAdvice | null {
  if (!pointsDown) return null;
  return {
    kind: 'well',
    says: 'Strikes point down: the clamp sits the other way round, or the input turns them over. It works either way.',
    act: '',
  };
}
