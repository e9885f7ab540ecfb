/** Help texts: what it is, why it matters, what is usual, and where that comes from. Words only. */

export interface HelpText {
  readonly title: string;
  readonly what: string;
  readonly why: string;
  /** Empty where nothing is usual. */
  readonly usual: string;
  readonly source: string;
}

const PRACTICE = 'From common practice in the trade. The engine maker’s data comes first.';
const GEOMETRY = 'A matter of geometry: it can be worked out by hand.';

export const HELPS = {
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
      'On a street V8 with petrol: initial about 12°, total 34° to 36°, all in by 3000 to 4000 rpm. No rule gives the numbers for one engine: try, note, try.',
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
  springs: {
    title: 'Springs',
    what: 'The springs you own, one entry for each kind. Lighter ones bring the advance in sooner, heavier ones later.',
    why: 'Once one of them was run, the others can be forecast by their rates.',
    usual:
      'Hang the same known mass on each and measure how much longer it gets. The stretch is good to 0.3 mm, so take a mass that gives 5 mm or more. Free length and preload stay unknown: the band allows for that.',
    source: 'Rate = force ÷ stretch (Hooke’s law). For a helical spring G × wire⁴ ÷ (8 × coil³ × coils).',
  },
  stops: {
    title: 'Stops',
    what: 'What limits how far the weights can swing out: bush, plate, slot.',
    why: 'The stop sets the range from initial to total. A shorter one cuts the curve off lower and leaves its rise where it was.',
    usual:
      'A total of 35° with 19° at idle is a range of 16°. Many are stamped in distributor degrees: twice that at the crank.',
    source: PRACTICE,
  },
  forecast: {
    title: 'Forecast',
    what: 'The curve that other springs or another stop would give, worked out from your own runs by the balance of weights and springs.',
    why: 'You see what a change does before you make it, and how sure that is.',
    usual:
      'The band holds the true mean curve in 95 of 100 cases. Beyond what was read with these springs it is drawn on, not measured, and widens.',
    source: 'Equilibrium of moments: speed² × weights’ moment = springs’ moment.',
  },
  search: {
    title: 'Search',
    what: 'All combinations of what you own, each forecast with the target’s total set, ranked by how far the curve leaves the band.',
    why: 'Of a dozen combinations only one or two are worth a run.',
    usual: 'Take the first that was measured or rests on little beyond what was read, and verify it.',
    source: 'Worked out here from your own runs.',
  },
  record: {
    title: 'Forecast against result',
    what: 'Each forecast made again from only the runs that came before, beside what the later run measured.',
    why: 'It tells how far forecasts of this engine can be trusted.',
    usual:
      'Figures agree within their intervals. If they do not, something else changed too: friction, a sticking weight, the tape.',
    source: 'Worked out here from your own runs.',
  },
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
} as const satisfies Record<string, HelpText>;

export type HelpKey = keyof typeof HELPS;
