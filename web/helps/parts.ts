/** Help on parts and forecasts. */
import { PRACTICE, type HelpText } from './help-text';

export const PARTS_HELPS = {
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
      'At each speed the band holds the true mean curve in 95 of 100 cases; all of the curve at once lies inside in about 7 of 10. Beyond what was read with these springs it is drawn on, not measured, and widens.',
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
} as const satisfies Record<string, HelpText>;
