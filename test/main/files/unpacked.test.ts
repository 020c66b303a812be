import { deflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { UNPACKED_CHUNK_BYTES, unpacked, unpackedInPassing } from '../../../main/files/unpacked.ts';

const BYTES = Uint8Array.from({ length: 3.5 * UNPACKED_CHUNK_BYTES }, (_, i) => (i * i) >> 5);

async function* packed(): AsyncGenerator<Uint8Array> {
  yield deflateSync(BYTES);
}

it('pieces that are needed in passing alone give their memory back when the next is asked for', async () => {
  const copies: Uint8Array[] = [];
  const pieces: Uint8Array[] = [];
  for await (const piece of unpackedInPassing(packed())) {
    pieces.push(piece);
    copies.push(Uint8Array.from(piece));
  }
  expect(Buffer.concat(copies).equals(BYTES)).toBe(true);
  expect(pieces.filter(({ length }) => length === 0)).toHaveLength(3);
});

it('pieces that are kept stay as they were', async () => {
  const pieces: Uint8Array[] = [];
  for await (const piece of unpacked(packed())) pieces.push(piece);
  expect(Buffer.concat(pieces).equals(BYTES)).toBe(true);
});
