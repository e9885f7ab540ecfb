/** Help on what Engine asks. */
import { GEOMETRY, PRACTICE, type HelpText } from './help-text';

export const ENGINE_HELPS = {
  strokes: {
    title: 'Strokes',
    what: 'How many strokes of the piston make one working cycle: four take two turns of the crankshaft, two take one.',
    why: 'A plug lead of a four-stroke fires once in two turns. With the wrong choice every speed is doubled or halved.',
    usual: 'Four, for nearly every engine with a distributor.',
    source: GEOMETRY,
  },
  clamp: {
    title: 'Where the clamp sits',
    what: 'The lead that the clamp is closed around, or the sensor that is wired in its place.',
    why: 'It settles how many strikes make one turn. If the speed shown is off by a whole factor, look here first.',
    usual: 'The No. 1 plug lead. On the coil lead every cylinder’s strike is heard.',
    source: GEOMETRY,
  },
  crankSensor: {
    title: 'Crank sensor',
    what: 'A sensor that gives one pulse a crank turn at a known angle, on a channel of its own beside the clamp’s.',
    why: 'From pulse and strike the advance of every spark is known, with its scatter: no light, no eye, no helper.',
    usual: 'Its pulse comes 40° to 80° before TDC, clear of every spark.',
    source: GEOMETRY,
  },
  rotor: {
    title: 'Rotor’s turning sense',
    what: 'The way the rotor arm goes round, looking down on the distributor with its cap off.',
    why: 'Turning the housing against the rotor advances the spark, turning it with the rotor retards it. The advice says “which way” only when it knows this.',
    usual: 'Cap off, ignition off, coil lead out: watch the rotor while someone turns the engine over.',
    source: PRACTICE,
  },
  idle: {
    title: 'Idle speed',
    what: 'The speed at which the warm engine idles, gearbox in neutral.',
    why: 'If the weights have already moved at idle, the idle timing is not the initial timing. This page warns you then.',
    usual: '650 to 900 rpm on a mild engine, more with a long cam.',
    source: PRACTICE,
  },
  damper: {
    title: 'Damper diameter',
    what: 'The outside diameter of the damper or pulley that carries the timing mark.',
    why: 'A timing tape fits one diameter only: on a wrong one every degree read is wrong in proportion.',
    usual: 'Measure it across. On 8 inches one degree is 1.77 mm.',
    source: 'π × diameter ÷ 360 for one degree. ' + GEOMETRY,
  },
  housing: {
    title: 'Housing diameter',
    what: 'The outside diameter of the distributor housing where you can see it move against its clamp.',
    why: 'The advice can then say how many millimetres to turn it. Two crank degrees are one degree of the housing.',
    usual: 'Measure it with a caliper, or a string round it divided by 3.14.',
    source: GEOMETRY,
  },
  traits: {
    title: 'What kind of engine',
    what: 'Five things that decide how soon an engine likes its advance.',
    why: 'More compression, a longer cam, a lighter car, shorter gearing and a looser converter accept a faster curve; their opposites want a slower one.',
    usual: 'Leave out what you don’t know.',
    source: PRACTICE,
  },
  target: {
    title: 'Target',
    what: 'The curve you want, as straight lines between corners, level outside them.',
    why: 'Every reading is judged against it.',
    usual:
      'On a street V8 with petrol: initial about 12°, total 34° to 36°, all in by 2500 to 3500 rpm. No rule gives the numbers for one engine: try, note, try.',
    source: PRACTICE,
  },
  band: {
    title: 'Band',
    what: 'How far from the target a curve may lie and still pass.',
    why: 'A reading off the light is good to about one degree, so a band narrower than that cannot be met.',
    usual: '± 2°.',
    source: PRACTICE,
  },
  steps: {
    title: 'Steps to hold',
    what: 'The speeds at which you will read the mark, one after the other.',
    why: 'Even steps show where the curve bends. Closer steps find a corner more exactly and take longer.',
    usual: 'From a little under idle to past the all-in speed, every 200 to 250 rpm.',
    source: PRACTICE,
  },
  tapeZero: {
    title: 'Tape’s zero error',
    what: 'What the tape shows when piston No. 1 stands at its true top. Positive when the tape shows degrees before the top.',
    why: 'It is taken off every reading. Until true top dead centre is proved, every figure may be off by it.',
    usual:
      'With a positive stop: turn by hand to the stop one way, note the tape, then the other way; half the sum of the two signed numbers is the error. Plugs out, never with the starter.',
    source: PRACTICE,
  },
  lightDelay: {
    title: 'Light’s delay',
    what: 'The time from the strike to the flash, in microseconds. One microsecond is a millionth of a second.',
    why: 'A fixed delay reads as retard that grows with speed: 100 µs hides 1.8° at 3000 rpm.',
    usual: 'Leave 0 unless it has been measured for your light.',
    source: 'Degrees = 6 × rpm × seconds. ' + GEOMETRY,
  },
  setUp: {
    title: 'Set-up',
    what: 'What is fitted to the distributor: springs, stop, vacuum line.',
    why: 'Each run belongs to one, so that you can see what a change did.',
    usual: 'Plug the vacuum line while you read the centrifugal curve.',
    source: PRACTICE,
  },
  limits: {
    title: 'Limits',
    what: 'The most advance that you allow: in total, at idle, at cruise with the vacuum line on.',
    why: 'Past what an engine stands it knocks, and knock breaks pistons, sometimes unheard. A reading above a limit is told at once.',
    usual:
      'The maker’s figure. Without one: no more than the total that is aimed at, and stop at the first knock.',
    source: PRACTICE,
  },
} as const satisfies Record<string, HelpText>;
