/** Help on what a run shows. */
import { GEOMETRY, PRACTICE, type HelpText } from './help-text';

export const RUN_HELPS = {
  speed: {
    title: 'Speed',
    what: 'Engine speed now, worked out from the last strikes. Behind ±: twice its standard deviation, so that 95 of 100 true speeds lie inside.',
    why: 'A reading is only as good as the speed it belongs to.',
    usual: 'At a held speed ± 5 to ± 30 rpm: an engine’s own unevenness, more of it at a rough idle.',
    source: 'Speed = 60 × strikes a second ÷ strikes a turn. ' + GEOMETRY,
  },
  hold: {
    title: 'Steady',
    what: 'The speed has stayed within 1.5 % of the step, 25 rpm at least, for a second and a half.',
    why: 'While the speed moves the mark moves too, and degrees read then belong to no speed.',
    usual:
      'A second person at the throttle. If it will not settle, pin all the same: the reading is marked as moved.',
    source: PRACTICE,
  },
  reading: {
    title: 'Reading',
    what: 'Degrees that you read off the light, with the speed and its spread at the moment you pinned it.',
    why: 'Pinning first lets you look at the mark and key in the degrees afterwards.',
    usual:
      'Good to about one degree; the mark wanders at higher speeds. Two or three readings below the start and two or three past the all-in show every corner.',
    source: PRACTICE,
  },
} as const satisfies Record<string, HelpText>;
