/** The cautions that stand where the act happens. Words only; short where they interrupt, in full where one asks. */

export interface CautionText {
  readonly title: string;
  readonly text: string;
}

export const CAUTIONS = {
  moving: {
    title: 'Moving parts look still',
    text: 'Belts, fan and pulleys turn while the light makes them look still. Keep hands, hair, sleeves, tools and leads away from them.',
  },
  voltage: {
    title: 'High voltage',
    text: 'Ignition leads carry tens of kilovolts. Engine off before you touch a lead, a cap or the clamp. Anyone with a pacemaker stays clear.',
  },
  exhaust: {
    title: 'Exhaust gas kills',
    text: 'Run the engine outside, or with extraction that carries the gas away. An open door is not enough.',
  },
  hot: {
    title: 'Hot parts and fuel',
    text: 'Manifold, radiator and oil burn skin; petrol and battery gas catch fire. Keep an extinguisher at hand and no loose fuel lines.',
  },
  wheels: {
    title: 'Chock the wheels',
    text: 'Gearbox in neutral or park, brake on, wheels chocked. Nobody stands in front of the car or behind it. A second person at the throttle.',
  },
  person: {
    title: 'Eyes and ears',
    text: 'Wear eye and hearing protection, nothing loose on clothes, hands or neck. Don’t stand in line with the fan.',
  },
  knock: {
    title: 'Knock breaks engines',
    text: 'It is not always heard. Start low, add little, stop at the first sign, and never chase a number.',
  },
  input: {
    title: 'Never wire ignition to a sound input',
    text: 'Only a clamp that touches nothing but the lead’s insulation, and a limiting interface between it and the line input.',
  },
  law: {
    title: 'The maker’s data and your law come first',
    text: 'Timing data and the emissions label of the maker stand above anything said here, and laws on road vehicles differ from place to place. Where you are not sure, ask a licensed mechanic.',
  },
} as const satisfies Record<string, CautionText>;

export type CautionKey = keyof typeof CAUTIONS;

/** What is shown before an act for the first time in a session. */
export const BEFORE = {
  'line input': ['input', 'voltage', 'moving', 'hot'],
  run: ['exhaust', 'wheels', 'moving', 'person', 'knock', 'law'],
} as const satisfies Record<string, readonly CautionKey[]>;

export type CautionedAct = keyof typeof BEFORE;
