import { expect, test } from 'vitest';
import { signalSigns } from '../../web/signal-signs';
import { reasonSentence, stateWord } from '../../web/signal-words';
import type { InputFacts } from '../../web/state/contracts';
import type { Latest } from '../../web/worker/analysis-api';
import type { SignalReport } from '../../dsp/strike-chain';

const GOOD: SignalReport = {
  state: 'following',
  reason: null,
  peak: 0.4,
  rms: 0.02,
  clippedShare: 0,
  humAmplitude: null,
  humHz: null,
  steadyTone: null,
  strikeToNoiseDb: 38,
  strikes: 900,
  missed: 1,
  setAside: 2,
  lostSamples: 0,
  slips: 0,
  slippedS: 0,
};
const INPUT: InputFacts = {
  label: 'USB line input',
  sampleRateHz: 48_000,
  channelCount: 2,
  processingOn: [],
};
const latest = (report: Partial<SignalReport> = {}, more: Partial<Latest> = {}): Latest => ({
  session: 1,
  sampleRateHz: 48_000,
  timeS: 30,
  rpm: 900,
  rpmSd: 3,
  strikeAgeS: 0.1,
  strike: null,
  channelsIdentical: false,
  channelCount: 2,
  lostBlocks: 0,
  lostFrames: 0,
  unheardS: 0,
  dwell: null,
  strikePicture: new Float32Array(),
  rows: {
    fromRow: 0,
    settledRow: 0,
    timeS: new Float64Array(),
    rpm: new Float64Array(),
    rpmSd: new Float64Array(),
  },
  fileProgress: null,
  sensor: null,
  keepingProblem: null,
  ...more,
  report: { ...GOOD, ...report },
});

test('a good signal gives good signs only, and nothing to do', () => {
  const signs = signalSigns(latest(), INPUT);
  expect(signs.map(({ kind }) => kind)).toEqual(['well', 'well']);
  expect(signs.every(({ act }) => act === '')).toBe(true);
});
test('what is wrong stands first', () => {
  const signs = signalSigns(latest({ clippedShare: 0.03 }, { channelsIdentical: true }), INPUT);
  expect(signs[0]).toMatchObject({ kind: 'wrong', act: 'Bring the input level down.' });
  expect(signs[0]!.says).toContain('3.0 %');
});
test('a lone sample at full scale is no clipping', () =>
  expect(signalSigns(latest({ clippedShare: 1 / 48_000 }), INPUT)[0]!.kind).toBe('well'));

test.each([
  ['a weak level', latest({ peak: 0.01 }), 'Bring the input level up'],
  ['little over the noise', latest({ strikeToNoiseDb: 7 }), 'Close the clamp'],
  ['a whine', latest({ steadyTone: true }), 'alternator'],
  ['hum as large as the strike', latest({ humAmplitude: 0.4, humHz: 50 }), 'battery'],
  ['channels mixed down', latest({}, { channelsIdentical: true }), 'one channel'],
  ['lost sound', latest({}, { lostBlocks: 2, lostFrames: 480 }), 'Close other programs'],
  ['a machine that slept', latest({}, { unheardS: 4 }), 'keep the machine awake'],
])('%s says what to do', (_, given, act) => {
  const sign = signalSigns(given, INPUT)[0]!;
  expect(sign.kind).toBe('look');
  expect(sign.act).toContain(act);
});

// 480 frames at 48 kHz are 10 ms (hand arithmetic).
test('lost sound that nobody counted is told by the jumps of the beat', () =>
  expect(
    signalSigns(latest({ slips: 1, slippedS: 0.01 }, { lostBlocks: 2, lostFrames: 480 }), INPUT)[0]!.says,
  ).toBe('Sound was lost 3 times, 20 ms in all.'));

test('lost sound is counted in times and milliseconds', () =>
  expect(signalSigns(latest({}, { lostBlocks: 2, lostFrames: 480 }), INPUT)[0]!.says).toBe(
    'Sound was lost 2 times, 10 ms in all.',
  ));
test('processing known to be on is named, unknown is not called off', () => {
  const on = signalSigns(latest(), { ...INPUT, processingOn: ['noise reduction', 'automatic gain'] })[0]!;
  expect(on).toMatchObject({
    kind: 'wrong',
    says: 'The system still has this on: noise reduction, automatic gain.',
  });
});
test('what the store refused is said first of all', () =>
  expect(signalSigns(latest({}, { keepingProblem: 'The disk is full.' }), null)[0]).toMatchObject({
    kind: 'wrong',
    says: 'The disk is full.',
  }));

test('each reason for no speed has its sentence and something to do', () => {
  for (const reason of [
    'silence',
    'clipping',
    'only hum',
    'too weak',
    'speech processing',
    'no steady beat',
  ] as const) {
    const { says, act } = reasonSentence(reason);
    expect(says).toMatch(/\.$/);
    expect(act.length).toBeGreaterThan(20);
  }
  expect(reasonSentence(null).act).toBe('');
});

test('the strip at the top names the state, or says there is no sound yet', () => {
  expect(stateWord({ source: null, phase: 'idle', latest: null })).toBe('no sound yet');
  expect(stateWord({ source: 'line input', phase: 'opening', latest: null })).toBe('opening');
  expect(stateWord({ source: 'line input', phase: 'running', latest: latest() })).toBe('following');
  expect(stateWord({ source: 'recording', phase: 'ended', latest: latest() })).toBe('ended');
});
