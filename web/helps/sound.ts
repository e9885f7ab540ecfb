/** Help on what Sound shows. */
import { GEOMETRY, type HelpText } from './help-text';

export const SOUND_HELPS = {
  level: {
    title: 'Level',
    what: 'How strong the signal is, in decibels of full scale: 0 dB is the most that the input can carry.',
    why: 'Too high and strikes are cut flat; too low and they drown in noise.',
    usual: 'Strikes that peak between −20 and −1 dB.',
    source: 'Decibels of full scale = 20 × log₁₀ of the share of full scale.',
  },
  noise: {
    title: 'Strike over noise',
    what: 'How far a typical strike stands above the noise beside it.',
    why: 'The further, the more exactly each strike is timed and the fewer are missed.',
    usual: 'Above 20 dB all is well. Below 10 dB strikes are missed.',
    source: 'Measured here.',
  },
  strikes: {
    title: 'Strikes found',
    what: 'How many firings of the clamped lead were heard since listening began.',
    why: 'The speed is made of their times and of nothing else.',
    usual: 'On a plug lead of a four-stroke, one for every two turns: 800 rpm gives 400 in a minute.',
    source: GEOMETRY,
  },
  missed: {
    title: 'Missing and strays',
    what: 'Missing: the beat expected a strike and none was heard. Strays: something half as tall as a strike or taller that is neither a strike nor another lead. Both among the last two hundred strikes.',
    why: 'A few cost nothing, the beat goes on. Many make the speed less sure, or show that the engine misfires.',
    usual: 'Fewer than one in a hundred missing, and next to no strays.',
    source: 'Counted here.',
  },
  lost: {
    title: 'Sound lost',
    what: 'How much sound the machine failed to hand over, in milliseconds.',
    why: 'What was not heard is not guessed: the trace has a gap there.',
    usual: 'None. If it grows, close other programs on this machine.',
    source: 'Counted here, block by block.',
  },
} as const satisfies Record<string, HelpText>;
