/** Our WAV reader and writer against wavefile 11, a library of its own: each reads what the other wrote. */
import { expect, test } from 'vitest';
import wavefile from 'wavefile';
import { encodeFrames, wavHeader, wavTail, type WavSpec } from '../../dsp/wav/wav-writer';
import { createRandom } from '../../dsp/maker/random';
import { readWav } from '../helpers/read-wav';
import { joined } from '../helpers/wav-bytes';

const FRAMES = 257; // odd, so that 8- and 24-bit mono files need their pad byte
const CHANNELS = [1, 2, 3, 8];

/** Steps that the given depth can hold, both ends among them. */
function steps(bits: number, count: number, seed: number): number[] {
  const random = createRandom(seed, 0);
  const half = 2 ** (bits - 1);
  const middle = Array.from({ length: count - 2 }, () => Math.floor(random.between(-half, half)));
  return [-half, half - 1, ...middle];
}

function written(channels: number[][], depth: string, container: string, rateHz = 48_000): Uint8Array {
  const file = new wavefile.WaveFile();
  file.fromScratch(channels.length, rateHz, depth, channels.length === 1 ? channels[0]! : channels, {
    container,
  });
  return Uint8Array.from(file.toBuffer());
}

const INTEGERS = [8, 16, 24, 32].flatMap((bits) =>
  CHANNELS.flatMap((channels) =>
    ['RIFF', 'RIFX', 'RF64'].map((container) => ({ bits, channels, container })),
  ),
);

test.each(INTEGERS)(
  'wavefile writes $bits bits, $channels channels, $container: we read the same steps',
  (row) => {
    const { bits, channels, container } = row;
    const half = 2 ** (bits - 1);
    const signed = Array.from({ length: channels }, (_, c) => steps(bits, FRAMES, 100 * bits + c));
    // 8-bit WAV is unsigned with its middle at 128 (RIFF, from memory): wavefile takes it as it lies in the file.
    const lying = bits === 8 ? signed.map((channel) => channel.map((step) => step + 128)) : signed;
    const back = readWav(written(lying, String(bits), container), [1000]);
    expect(back.facts).toMatchObject({
      sampleRateHz: 48_000,
      channelCount: channels,
      validBits: bits,
      coding: 'integer',
    });
    expect(back.warnings).toEqual([]);
    // fround: a float32 holds 24 bits of a 32-bit step
    expect(back.channels).toEqual(signed.map((channel) => channel.map((step) => Math.fround(step / half))));
  },
);

const FLOATS = ['32f', '64'].flatMap((depth) =>
  CHANNELS.flatMap((channels) =>
    ['RIFF', 'RIFX', 'RF64'].map((container) => ({ depth, channels, container })),
  ),
);

test.each(FLOATS)(
  'wavefile writes $depth floating point, $channels channels, $container: we read it',
  (row) => {
    const random = createRandom(7, row.channels);
    const sound = Array.from(
      { length: row.channels },
      () => Array.from({ length: FRAMES }, () => random.between(-1.5, 1.5)), // floats may pass full scale
    );
    const back = readWav(written(sound, row.depth, row.container));
    expect(back.facts.coding).toBe('float');
    expect(back.channels).toEqual(sound.map((channel) => channel.map(Math.fround)));
  },
);

test('wavefile writes 12 valid bits in 16: we read them at the top of the container', () => {
  const back = readWav(written([[0, 2047, -2048, 1]], '12', 'RIFF'));
  expect(back.facts).toMatchObject({ validBits: 12, containerBytes: 2 });
  expect(back.channels[0]!.length).toBe(4);
});

test('wavefile writes labels, a LIST and cue points before or behind the sound: the samples stay the same', () => {
  const file = new wavefile.WaveFile();
  file.fromScratch(1, 44_100, '16', steps(16, FRAMES, 3));
  const plain = readWav(Uint8Array.from(file.toBuffer())).channels;
  file.setTag('INAM', 'odd');
  file.setCuePoint({ position: 1, label: 'here' });
  file.setTag('ICMT', 'twelve');
  expect(readWav(Uint8Array.from(file.toBuffer())).channels).toEqual(plain);
});

const CODED = ['8a', '8m', '4'];
test.each(CODED)(
  'wavefile writes a coding that is not plain samples (%s): we refuse it by name',
  (coding) => {
    const file = new wavefile.WaveFile();
    file.fromScratch(1, 8000, '16', steps(16, 600, 4));
    if (coding === '8a') file.toALaw();
    else if (coding === '8m') file.toMuLaw();
    else file.toIMAADPCM();
    const name = { '8a': 'A-law', '8m': 'mu-law', '4': 'IMA ADPCM' }[coding]!;
    expect(() => readWav(Uint8Array.from(file.toBuffer()))).toThrow(`is coded as ${name}`);
  },
);

// wavefile takes an extensible header for integers whatever it says, so floats of more channels are left out.
const OURS = (['int16', 'int24', 'float32'] as const).flatMap((coding) =>
  CHANNELS.filter((channelCount) => coding !== 'float32' || channelCount <= 2).flatMap((channelCount) =>
    [44_100, 192_000].map((sampleRateHz) => ({ coding, channelCount, sampleRateHz })),
  ),
);

test.each(OURS)(
  'we write $coding, $channelCount channels, $sampleRateHz Hz: wavefile reads it',
  (spec: WavSpec) => {
    const bits = { int16: 16, int24: 24, float32: 24 }[spec.coding];
    const half = 2 ** (bits - 1);
    const inSteps = Array.from({ length: spec.channelCount }, (_, c) => steps(bits, FRAMES, c + 1));
    const sound = inSteps.map((channel) => Float32Array.from(channel, (step) => step / half));
    const file = new wavefile.WaveFile(
      joined(wavHeader(spec, FRAMES), encodeFrames(spec, sound), wavTail(spec, FRAMES)),
    );
    const samples = file.getSamples(false, Float64Array) as unknown as Float64Array | Float64Array[];
    const channels = spec.channelCount === 1 ? [samples as Float64Array] : (samples as Float64Array[]);
    const scale = spec.coding === 'float32' ? half : 1;
    expect(channels.map((channel) => [...channel].map((sample) => sample * scale))).toEqual(inSteps);
    expect(file.fmt).toMatchObject({ sampleRate: spec.sampleRateHz, numChannels: spec.channelCount });
  },
);
