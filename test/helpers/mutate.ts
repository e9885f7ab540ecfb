/** Seeded damage to files: bytes, texts and JSON in, the same with a few things wrong out. */
import { createRandom, type Random } from '../../dsp/maker/random';

const below = (random: Random, end: number): number => Math.floor(random.uniform() * end);
const oneOf = <T>(random: Random, list: readonly T[]): T => list[below(random, list.length)]!;

/** A stream of its own for each case, so that one case can be looked at alone. */
export const randomOf = (kind: number, index: number): Random => createRandom(20261125 + kind, index);

const BYTES = [0, 1, 2, 0x7f, 0x80, 0xfe, 0xff];
const WORDS = [0, 1, 2, 0x7fff, 0x8000, 0xffff, 0x10000, 0x7fffffff, 0x80000000, 0xfffffffe, 0xffffffff];
const LONGEST_SPAN = 64;

/** One to five of: bytes changed, a whole number of a header replaced, a span cut, doubled or moved, the end cut off. */
export function mutateBytes(seed: Uint8Array, random: Random): Uint8Array {
  let bytes: Uint8Array = seed.slice();
  for (let left = 1 + below(random, 5); left > 0; left--) bytes = mutateBytesOnce(bytes, random);
  return bytes;
}

function mutateBytesOnce(bytes: Uint8Array, random: Random): Uint8Array {
  if (bytes.length < 8) return Uint8Array.from({ length: 64 }, () => below(random, 256));
  // Most damage where a header stands.
  const end = random.uniform() < 0.7 ? Math.min(bytes.length, 96) : bytes.length;
  const at = below(random, end - 4);
  const span = bytes.slice(at, at + 1 + below(random, LONGEST_SPAN));
  switch (below(random, 7)) {
    case 0:
      bytes[at]! ^= 1 << below(random, 8);
      return bytes;
    case 1:
      bytes[at] = oneOf(random, BYTES);
      return bytes;
    case 2:
      new DataView(bytes.buffer, bytes.byteOffset).setUint32(
        at,
        oneOf(random, WORDS),
        random.uniform() < 0.8,
      );
      return bytes;
    case 3:
      return bytes.slice(0, at);
    case 4:
      return joined(bytes.slice(0, at), bytes.slice(at + span.length));
    case 5:
      return joined(bytes.slice(0, at), span, bytes.slice(at));
    default:
      bytes.copyWithin(below(random, bytes.length), at, at + span.length);
      return bytes;
  }
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** What is typed or pasted where it should not be: signs, other digits, formulas, markup, names of an object's parts. */
export const HOSTILE: readonly string[] = [
  ...[
    '',
    ' ',
    '"',
    "'",
    '""',
    ',',
    ';',
    '\t',
    '\r',
    '\n',
    '\r\n',
    '\0',
    '\uFEFF',
    '\u202E',
    '\uD800',
    '\u2212',
  ],
  ...['NaN', 'Infinity', '-Infinity', '-0', '1e999', '1e-999', '0x10', '1_000', '٣٤', '１２', '1,2,3', '--1'],
  ...['=1+1', '+1', '-1+1', '@SUM(A1)', '=HYPERLINK("http://127.0.0.1")', '\t=1', "'=1", '|x', '%0A=1'],
  ...[
    '<script>alert(1)</script>',
    '<img src=x onerror=alert(1)>',
    ']]>',
    '&amp;',
    '</svg>',
    '--><b>',
    '{{1}}',
  ],
  ...['__proto__', 'constructor', 'toString', '../../etc/passwd', 'CON', '..\\x', 'a/b:c*?"<>|', '🔧', 'é'],
  ...['9'.repeat(400), '-'.repeat(300), 'x'.repeat(5000), '['.repeat(300), '\\', '\\u0000', 'null', 'true'],
];

/** One to five of: a hostile piece put in, signs cut, doubled or replaced, lines exchanged, the end cut off. */
export function mutateText(seed: string, random: Random): string {
  let text = seed;
  for (let left = 1 + below(random, 5); left > 0; left--) text = mutateTextOnce(text, random);
  return text;
}

function mutateTextOnce(text: string, random: Random): string {
  const at = below(random, text.length + 1);
  const to = at + below(random, LONGEST_SPAN);
  switch (below(random, 6)) {
    case 0:
      return text.slice(0, at) + oneOf(random, HOSTILE) + text.slice(at);
    case 1:
      return text.slice(0, at) + oneOf(random, HOSTILE) + text.slice(to);
    case 2:
      return text.slice(0, at) + text.slice(to);
    case 3:
      return text.slice(0, to) + text.slice(at);
    case 4:
      return text.slice(0, at);
    default: {
      const lines = text.split('\n');
      const [a, b] = [below(random, lines.length), below(random, lines.length)];
      [lines[a], lines[b]] = [lines[b]!, lines[a]!];
      return lines.join('\n');
    }
  }
}

const VALUES: readonly (() => unknown)[] = [
  () => null,
  () => true,
  () => 0,
  () => -1,
  () => 0.5,
  () => 1e308,
  () => -1e21,
  () => [],
  () => ({}),
  () => [[[]]],
  () => ({ __proto__: null, toString: 1 }),
  () => Array.from({ length: 500 }, (_, i) => i),
  () => nested(300),
];

function nested(depth: number): unknown {
  let value: unknown = 1;
  for (let i = 0; i < depth; i++) value = [value];
  return value;
}

/** One to three fields of a JSON value replaced, taken out, renamed or doubled, anywhere in it. */
export function mutateJson(seed: unknown, random: Random): unknown {
  const whole = { root: structuredClone(seed) };
  for (let left = 1 + below(random, 3); left > 0; left--) mutateField(whole, random);
  return whole.root;
}

type Holder = Record<string, unknown>;

function mutateField(whole: Holder, random: Random): void {
  let [holder, key]: [Holder, string] = [whole, 'root'];
  while (random.uniform() < 0.8) {
    const inside = holder[key];
    if (typeof inside !== 'object' || inside === null || Object.keys(inside).length === 0) break;
    holder = inside as Holder;
    key = oneOf(random, Object.keys(inside));
  }
  const value = random.uniform() < 0.5 ? oneOf(random, VALUES)() : oneOf(random, HOSTILE);
  switch (below(random, 4)) {
    case 0:
      if (Array.isArray(holder)) holder.splice(Number(key), 1);
      else if (holder !== whole) Reflect.deleteProperty(holder, key);
      break;
    case 1:
      if (Array.isArray(holder)) holder.push(structuredClone(holder[Number(key)]));
      else if (holder !== whole) holder[oneOf(random, HOSTILE)] = value;
      break;
    default:
      holder[key] = value;
  }
}
