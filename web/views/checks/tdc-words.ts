/** How top dead centre is proved, in words: a way in, its steps out. */

export type Way = 'stop' | 'dial both sides' | 'dial one side';

export const WAYS: readonly { readonly value: Way; readonly label: string; readonly note: string }[] = [
  { value: 'stop', label: 'Positive stop', note: 'from both sides' },
  { value: 'dial both sides', label: 'Dial, both sides', note: 'the same drop twice' },
  { value: 'dial one side', label: 'Dial, one side', note: 'needs stroke and rod' },
];

const DIAL_AT_TOP =
  'Dial indicator on the piston of No. 1; turn over the top and set the dial to zero at its highest.';

const STEPS: Readonly<Record<Way, readonly string[]>> = {
  stop: [
    'Screw the stop into the plug hole of No. 1, the piston well below its top.',
    'Turn gently one way until the piston meets the stop. Read the tape at the pointer.',
    'Turn the other way until it meets the stop again. Read the tape.',
    'Take the stop out before anything else turns the engine.',
  ],
  'dial both sides': [
    DIAL_AT_TOP,
    'Turn back past a drop of 1 to 5 mm, then forward to just that drop before the top. Read the tape.',
    'Turn on, over the top, to the same drop after it. Read the tape. Always come from the same way round.',
  ],
  'dial one side': [
    DIAL_AT_TOP,
    'Turn back past a drop of 1 to 5 mm, then forward to a drop that you note. Read dial and tape.',
    'A piston pin that stands off centre is left out: both sides are the better proof.',
  ],
};

export const stepsFor = (way: Way): readonly string[] => STEPS[way];
