/** Help on what a run showed. */
import { PRACTICE, type HelpText } from './help-text';

export const RESULT_HELPS = {
  initial: {
    title: 'Initial',
    what: 'The advance before the weights move: where the curve is level at its low end. Below it the interval that holds the true value in 95 of 100 cases; the tint about the curve does so at each speed, for the whole curve at once less often.',
    why: 'It is what turning the housing sets. Too little and the engine idles hot and dull; too much and it kicks at the starter.',
    usual:
      'About 12° on a street V8 with petrol, 12° to 15° on a milder engine. The maker’s figure comes first.',
    source: PRACTICE,
  },
  start: {
    title: 'Start',
    what: 'The speed at which the weights leave their stop and the advance begins to rise.',
    why: 'If it lies below idle, idle timing is not the initial timing. Lighter springs bring it down.',
    usual: '900 to 1200 rpm, and a little above idle in any case.',
    source: PRACTICE,
  },
  allIn: {
    title: 'All-in',
    what: 'The speed at which the advance stops rising: the weights lie at their stop.',
    why: 'Above it the total is read and set. Too soon and the engine knocks under load; too late and it is dull.',
    usual: '2500 to 3500 rpm on a street engine; rev on to where it stops rising to see it.',
    source: PRACTICE,
  },
  total: {
    title: 'Total',
    what: 'The most advance that housing and weights give together, vacuum line off.',
    why: 'It rules power, and it is what does harm when it is too much: it is set first, the housing locked, then idle is looked at.',
    usual: '34° to 36° on a street V8 with petrol. The maker’s figure comes first.',
    source: PRACTICE,
  },
  range: {
    title: 'Range',
    what: 'What the weights add: total less initial.',
    why: 'The stop sets it, not the housing. A wrong initial with the right total is cured by another stop.',
    usual:
      'A total of 35° with 19° at idle is a range of 16°. Many stops are stamped in distributor degrees: half of it.',
    source: PRACTICE,
  },
  advice: {
    title: 'First advice',
    what: 'How far to turn the housing so that the total, or the initial, meets the target; at the crank, at the housing, along its rim.',
    why: 'Turning the housing lifts or lowers the whole curve and changes nothing else.',
    usual:
      'Two crank degrees are one of the housing. Against the rotor advances, with it retards. Mark the housing before you loosen it.',
    source: PRACTICE + ' Rim = π × diameter × degrees ÷ 360.',
  },
  againstTarget: {
    title: 'Against the target',
    what: 'Where the measured curve leaves the band, and whether the readings are enough to be sure of it.',
    why: 'A curve may be off where nobody looked: “not seen” is not “inside”.',
    usual: 'A band of ± 2°; a reading off the light is good to about one degree.',
    source: PRACTICE,
  },
  work: {
    title: 'Order of work',
    what: 'Total, idle, stop, springs, another run: each with its own figures, ticked by readings.',
    why: 'In this order no step undoes the one before.',
    usual: 'One change, one run. The engine is stopped and cool before a tool is lifted.',
    source: PRACTICE,
  },
} as const satisfies Record<string, HelpText>;
