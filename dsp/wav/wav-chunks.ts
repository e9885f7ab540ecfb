/** The chunks of a RIFF file: small questions about their names, sizes and padding. Pure; knows no stream. */

/** Names that are known to stand in WAV files, from memory: enough to tell a chunk from sound. */
const KNOWN_CHUNKS = new Set(
  (
    'data,fmt ,fact,LIST,INFO,PEAK,bext,iXML,JUNK,junk,PAD ,FLLR,id3 ,ID3 ,cue ,smpl,inst,acid,adtl,labl,note,ltxt,' +
    'plst,slnt,wavl,cart,axml,chna,levl,umid,DISP,strc,minf,elm1,regn,afsp,_PMX,ds64,r64m'
  ).split(','),
);

/** @returns the four characters at a place; bytes that are no plain text come as dots */
export function chunkName(bytes: Uint8Array, at = 0): string {
  let name = '';
  for (const byte of bytes.subarray(at, at + 4))
    name += byte >= 32 && byte < 127 ? String.fromCharCode(byte) : '.';
  return name;
}

export const isKnownChunk = (name: string): boolean => KNOWN_CHUNKS.has(name);

/** Bytes of padding after a chunk of odd size: the rule says one, some writers leave it out.
 * @param next the five bytes that follow the chunk's body */
export function paddingBefore(next: Uint8Array): 0 | 1 {
  if (next[0] === 0) return 1; // no name starts with a zero
  if (isKnownChunk(chunkName(next))) return 0;
  if (isKnownChunk(chunkName(next, 1))) return 1;
  return next.subarray(0, 4).every((byte) => byte >= 32 && byte < 127) ? 0 : 1;
}

/** A 64-bit size as a number; null where it is beyond what any file can hold. */
export function size64(bytes: Uint8Array, at: number): number | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const size = view.getUint32(at + 4, true) * 2 ** 32 + view.getUint32(at, true);
  return Number.isSafeInteger(size) ? size : null;
}
