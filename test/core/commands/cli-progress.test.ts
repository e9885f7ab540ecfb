/** The line that says how far long work has come. */
import { expect, test } from 'vitest';
import { ProgressLine } from '../../../core/commands/cli-progress';

function made() {
  const written: string[] = [];
  const clock = { ms: 5000 };
  const line = new ProgressLine(
    (text) => written.push(text),
    () => clock.ms,
  );
  return { line, written, clock };
}

test('short work says nothing', () => {
  const { line, written, clock } = made();
  for (const share of [0, 0.3, 0.6, 1]) {
    line.say('a.wav', share);
    clock.ms += 250;
  }
  line.clear();
  expect(written).toEqual([]);
});

test('long work says its share and what is left, on one line, four times a second at most', () => {
  const { line, written, clock } = made();
  line.say('a.wav', 0);
  clock.ms += 2000;
  line.say('a.wav', 0.25);
  line.say('a.wav', 0.26); // at once: too soon
  clock.ms += 2000;
  line.say('a.wav', 0.5);
  line.clear();
  line.clear(); // it is gone already
  // a quarter in 2 s leaves three times as long; half in 4 s leaves as long again (hand arithmetic)
  expect(written).toEqual([
    '\r\x1b[Ka.wav: 25 %, about 6 s left; Ctrl-C stops',
    '\r\x1b[Ka.wav: 50 %, about 4 s left; Ctrl-C stops',
    '\r\x1b[K',
  ]);
});
