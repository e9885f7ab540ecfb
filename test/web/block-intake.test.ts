/** What the intake makes of a live source's blocks. Every expected count is hand arithmetic on the blocks sent. */
import { expect, test } from 'vitest';
import { createRandom } from '../../dsp/maker/random';
import { BlockIntake } from '../../web/worker/block-intake';

const RATE_HZ = 48_000;
const FRAMES = 480; // 10 ms

type Told = ['samples', number, number] | ['lose', number] | ['segment'];

interface Desk {
  readonly told: Told[];
  readonly intake: BlockIntake;
  /** Sends blocks of noise; the source's clock goes on with them. */
  send(count: number, shape?: (frame: number) => number, channels?: number): void;
  skipFrames(frames: number): void;
  sleep(ms: number): void;
}

function desk(source: 'line input' | 'practice engine' = 'line input'): Desk {
  const told: Told[] = [];
  const intake = new BlockIntake(RATE_HZ, source, {
    samples: (channels) => told.push(['samples', channels.length, channels[0]!.length]),
    lose: (frames) => told.push(['lose', frames]),
    segment: () => told.push(['segment']),
  });
  const random = createRandom(7, 1);
  let [frame, atMs] = [0, 1_000_000];
  return {
    told,
    intake,
    send(count, shape = () => 0.01 * random.normal(), channels = 2) {
      for (let b = 0; b < count; b++) {
        const block = Array.from({ length: channels }, () =>
          Float32Array.from({ length: FRAMES }, (_, i) => shape(b * FRAMES + i)),
        );
        frame += FRAMES;
        atMs += (1000 * FRAMES) / RATE_HZ;
        intake.take({ endFrame: frame, atMs, channels: block });
      }
    },
    skipFrames: (frames) => (frame += frames),
    sleep: (ms) => (atMs += ms),
  };
}

const lost = (told: readonly Told[]): number =>
  told.reduce((sum, [what, frames]) => sum + (what === 'lose' ? (frames as number) : 0), 0);
const heard = (told: readonly Told[]): number =>
  told.reduce((sum, entry) => sum + (entry[0] === 'samples' ? entry[2] : 0), 0);
const segments = (told: readonly Told[]): number => told.filter(([what]) => what === 'segment').length;

test('blocks that join are handed on whole, in one segment, with nothing lost', () => {
  const { told, intake, send } = desk();
  send(300);
  expect(heard(told)).toBe(300 * FRAMES);
  expect([lost(told), segments(told), intake.lostBlocks, intake.lostFrames]).toEqual([0, 1, 0, 0]);
});

test('a jump of the frame count is lost sound: counted, and time goes on by as much', () => {
  const { told, intake, send, skipFrames } = desk();
  send(10);
  skipFrames(1500);
  send(10);
  expect([lost(told), intake.lostBlocks, intake.lostFrames, segments(told)]).toEqual([1500, 1, 1500, 1]);
});

test('frames that go backwards or another count of channels start a new segment', () => {
  const { told, intake, send, skipFrames } = desk();
  send(5);
  skipFrames(-3000);
  send(5);
  send(5, undefined, 1);
  expect([segments(told), intake.channelCount, intake.lostFrames]).toEqual([3, 1, 0]);
});

test('frames that join while the clock jumped say how long was not heard, and time goes on by as much', () => {
  const { told, intake, send, sleep } = desk();
  send(10);
  sleep(12_000);
  send(10);
  expect(intake.unheardS).toBeCloseTo(12, 6);
  expect(lost(told)).toBe(12 * RATE_HZ);
  expect(intake.lostFrames).toBe(0);
});

test('a busy machine that hands blocks over late has not slept', () => {
  const { told, intake, send, sleep } = desk();
  send(10);
  sleep(800);
  send(10);
  sleep(-800);
  send(10);
  expect([intake.unheardS, lost(told)]).toEqual([0, 0]);
});

/** 10 ms of zeros, as measured in Chromium, amid noise; sent as two blocks so that the run crosses from one into the
 * other. */
const dropOut = (frame: number, noise: number): number => (frame >= 240 && frame < 720 ? 0 : noise);

test('10 ms of zeros amid live noise are a drop-out: counted once, taken out, and time does not go on', () => {
  const { told, intake, send } = desk();
  const random = createRandom(8, 1);
  send(200);
  send(2, (frame) => dropOut(frame, 0.01 * random.normal()));
  send(50);
  expect([intake.lostBlocks, intake.lostFrames]).toEqual([1, 480]);
  expect([heard(told), lost(told), segments(told)]).toEqual([252 * FRAMES - 480, 0, 1]);
});

test('zeros by chance are handed on, also where they lie across two blocks', () => {
  const { told, intake, send } = desk();
  const random = createRandom(9, 1);
  send(200);
  send(2, (frame) => (frame >= 440 && frame < 520 ? 0 : 0.01 * random.normal())); // 80 frames: 1.7 ms
  send(1);
  expect(intake.lostBlocks).toBe(0);
  expect(heard(told)).toBe(203 * FRAMES);
});

test('a quiet input whose every fifth sample is zero still shows its drop-outs, and has no false ones', () => {
  const { intake, send } = desk();
  const random = createRandom(10, 1);
  const quiet = (): number => (random.uniform() < 1 / 5 ? 0 : 1 / 32_768);
  send(1000, quiet);
  expect(intake.lostBlocks).toBe(0);
  send(2, (frame) => dropOut(frame, quiet()));
  send(1, quiet);
  expect(intake.lostBlocks).toBe(1);
});

test('zeros between strikes of a signal that has no noise are no drop-outs', () => {
  const { intake, send } = desk();
  send(1000, (frame) => (frame % 4000 < 30 ? 0.5 : 0));
  expect(intake.lostBlocks).toBe(0);
});

test('digital silence is handed on as sound, so that it can be told as silence', () => {
  const { told, intake, send } = desk();
  send(200);
  send(300, () => 0);
  expect(intake.lostBlocks).toBe(0);
  expect(heard(told)).toBe(500 * FRAMES);
});

test('the practice engine has no drop-outs', () => {
  const { intake, send } = desk('practice engine');
  const random = createRandom(11, 1);
  send(200, () => random.normal(), 1);
  send(2, (frame) => dropOut(frame, random.normal()), 1);
  expect([intake.lostBlocks, intake.channelsIdentical]).toEqual([0, null]);
});

test('left and right are called the same after two seconds of nothing but that, and at once not when they differ', () => {
  const { intake, send } = desk();
  send(100, (frame) => Math.sin(frame)); // both channels get the same
  expect(intake.channelsIdentical).toBeNull();
  send(101, (frame) => Math.sin(frame));
  expect(intake.channelsIdentical).toBe(true);
  send(1); // noise, drawn for each
  expect(intake.channelsIdentical).toBe(false);
});

test('two silent channels say nothing about a mix-down', () => {
  const { intake, send } = desk();
  send(400, () => 0);
  expect(intake.channelsIdentical).toBeNull();
});

test('frames that the system says it dropped are counted', () => {
  const { told, intake, send } = desk();
  send(5);
  intake.noteDropped(0);
  intake.noteDropped(441);
  expect([intake.lostBlocks, intake.lostFrames, lost(told)]).toEqual([1, 441, 0]);
});

/** Noise whose first so many frames come over and over. */
function repeating(frames: number): (frame: number) => number {
  const random = createRandom(3, 2);
  const kept = Array.from({ length: frames }, () => 0.1 * random.normal());
  return (frame) => kept[frame % frames]!;
}

test.each([64, 441, 480, 1024, 4096])(
  'a driver that gives the same %i frames over and over is no sound: it is lost, and said, until others come',
  (frames) => {
    const { told, intake, send } = desk();
    send(50);
    expect(intake.repeats).toBe(false);
    send(100, repeating(frames)); // a second
    expect(intake.repeats).toBe(true);
    expect(intake.lostBlocks).toBe(1);
    // told once three stretches and a tenth of a second have come, looked for every 1024 frames
    expect(100 * FRAMES - lost(told)).toBeLessThan(Math.max(4 * frames, 4800) + 1024 + FRAMES);
    expect(intake.lostFrames).toBe(lost(told));
    send(1);
    expect(intake.repeats).toBe(false);
    const before = heard(told);
    send(10);
    expect(heard(told) - before).toBe(10 * FRAMES);
  },
);

test('silence, a voltage that stands, a rough converter’s noise and even strikes in it are no driver that hangs', () => {
  const random = createRandom(9, 2);
  const bits = (x: number): number => Math.round(32_768 * x) / 32_768;
  for (const shape of [
    () => 0,
    () => 0.25,
    () => bits(0.3 / 32_768) + (random.uniform() < 0.3 ? 1 / 32_768 : 0),
    (frame: number) =>
      bits(0.2 * (frame % 960 < 20 ? Math.exp(-(frame % 960) / 4) : 0) + 2e-5 * random.normal()),
  ]) {
    const { intake, send } = desk();
    send(300, shape);
    expect(intake.repeats).toBe(false);
  }
});
