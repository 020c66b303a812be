import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ByteDecoder, collectBytes, decodedThrough } from '../../../../core/pdf/file/byte-stream.ts';
import { Ascii85Decoder, AsciiHexDecoder } from '../../../../core/pdf/images/raster-ascii.ts';
import { LzwDecoder } from '../../../../core/pdf/images/raster-lzw.ts';
import { RunLengthDecoder } from '../../../../core/pdf/images/raster-run-length.ts';
import { ascii85Coded, lzwCoded, runLengthCoded } from './byte-codings.ts';
import { inPieces } from './flate-node.ts';

const decoded = async (decoder: ByteDecoder, bytes: Uint8Array, piece = 3): Promise<number[]> => [
  ...(await collectBytes(decodedThrough(decoder, inPieces(bytes, piece)), undefined)),
];

const ascii = (text: string): Uint8Array => new TextEncoder().encode(text);

/** Long runs, short repeats and noise. */
const someBytes = fc
  .array(fc.tuple(fc.nat(255), fc.integer({ min: 1, max: 400 })), { maxLength: 40 })
  .chain((runs) =>
    fc
      .uint8Array({ maxLength: 3000 })
      .map((noise) =>
        Uint8Array.from([...runs.flatMap(([byte, n]) => new Array<number>(n).fill(byte)), ...noise]),
      ),
  );

describe('Byte filters of images', () => {
  it('LZW decodes the example of ISO 32000-1, 7.4.4.2', async () => {
    const coded = Uint8Array.of(0x80, 0x0b, 0x60, 0x50, 0x22, 0x0c, 0x0c, 0x85, 0x01);
    expect(await decoded(new LzwDecoder(1), coded)).toEqual([45, 45, 45, 45, 45, 65, 45, 45, 45, 66]);
  });

  it('LZW decodes what an encoder wrote, with codes growing early or late', async () => {
    await fc.assert(
      fc.asyncProperty(
        someBytes,
        fc.constantFrom(0, 1),
        fc.constantFrom(1, 7, 5000),
        async (bytes, early, piece) => {
          expect(await decoded(new LzwDecoder(early), lzwCoded(bytes, early), piece)).toEqual([...bytes]);
        },
      ),
      { numRuns: 60, seed: 20260 },
    );
  });

  it('LZW passes the full table of 4,096 codes', async () => {
    const bytes = Uint8Array.from({ length: 30_000 }, (_, i) => (i * i * 31 + (i >> 3)) & 255);
    expect(await decoded(new LzwDecoder(1), lzwCoded(bytes, 1), 4096)).toEqual([...bytes]);
  });

  it('run lengths decode: 7.4.5, a length under 128 copies, one above repeats', async () => {
    const coded = Uint8Array.of(2, 10, 20, 30, 254, 7, 0, 99, 128, 55);
    expect(await decoded(new RunLengthDecoder(), coded, 1)).toEqual([10, 20, 30, 7, 7, 7, 99]);
    await fc.assert(
      fc.asyncProperty(someBytes, fc.constantFrom(1, 7, 5000), async (bytes, piece) => {
        expect(await decoded(new RunLengthDecoder(), runLengthCoded(bytes), piece)).toEqual([...bytes]);
      }),
      { numRuns: 40, seed: 20261 },
    );
  });

  it('ASCII hex decodes: 7.4.2, white space is ignored and a last odd digit is filled with 0', async () => {
    expect(await decoded(new AsciiHexDecoder(), ascii('4e 6F\n7>66'))).toEqual([0x4e, 0x6f, 0x70]);
    await expect(decoded(new AsciiHexDecoder(), ascii('4x>'))).rejects.toThrow('no digit');
  });

  it('ASCII85 decodes: 7.4.3, four bytes by five digits, z for four zeros, a short last group', async () => {
    expect(await decoded(new Ascii85Decoder(), ascii('9jqo^ z\nEr~>zz'))).toEqual([
      ...ascii('Man '),
      0,
      0,
      0,
      0,
      ...ascii('s'),
    ]);
    await fc.assert(
      fc.asyncProperty(someBytes, async (bytes) => {
        expect(await decoded(new Ascii85Decoder(), ascii(ascii85Coded(bytes)), 7)).toEqual([...bytes]);
      }),
      { numRuns: 40, seed: 20262 },
    );
    await expect(decoded(new Ascii85Decoder(), ascii('uuuuu~>'))).rejects.toThrow('too large');
  });
});
