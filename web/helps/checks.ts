/** Help on the checks. */
import { GEOMETRY, PRACTICE, type HelpText } from './help-text';

export const CHECKS_HELPS = {
  tdcProof: {
    title: 'Proof of top dead centre',
    what: 'Finds what the tape shows when piston No. 1 stands at its true top. Near the top the piston hardly moves, so it is found from two places either side.',
    why: 'Whatever the tape is off, every reading is off, and no light can show it. The error and how well it is known go into every figure.',
    usual:
      'True top is midway between the two readings; half their signed sum is the error. Read to half a degree, it is good to 0.7°. Prove again when a figure surprises: a damper’s ring can slip.',
    source: PRACTICE,
  },
  tape: {
    title: 'Timing tape',
    what: 'A strip of degrees for the rim of your damper.',
    why: 'It fits one diameter only. Degrees before top dead centre run ahead of its zero in the crank’s own direction; after it they carry a minus, as you key them in.',
    usual:
      'On 8 inches one degree is 1.77 mm. Clean the rim, put the zero on the damper’s own mark, seal it with clear varnish.',
    source: 'π × diameter ÷ 360 for one degree. ' + GEOMETRY,
  },
  vacuum: {
    title: 'Vacuum advance',
    what: 'What the can adds to the weights’ advance as the vacuum grows: where it starts, where it is full, how much it adds.',
    why: 'At cruise both stand together. Too much of it surges or knocks; none of it wastes fuel.',
    usual:
      '10 to 16 crank degrees at light load. Read it with a hand pump at one speed held, the weights at rest or all in.',
    source: PRACTICE,
  },
  dwell: {
    title: 'Dwell',
    what: 'How long the points are closed between two sparks, in distributor degrees: of 360 ÷ cylinders.',
    why: 'The coil fills while they are closed. A change of gap moves dwell and timing together, so dwell is set first and timing second.',
    usual: 'About 60 to 70 % of the interval; the maker’s figure comes first.',
    source: PRACTICE,
  },
} as const satisfies Record<string, HelpText>;
