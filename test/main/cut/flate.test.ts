import { inflateSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adler32 } from '../../../core/pdf/file/adler32.ts';
import { flateCodec } from '../../../main/cut/flate.ts';
import { inPieces, KeptBytes } from '../../core/pdf/images/flate-node.ts';
import { random } from '../../core/pdf/images/jpeg-made.ts';

async function packed(bytes: Uint8Array, pieceBytes: number): Promise<Uint8Array> {
  const kept = new KeptBytes();
  const sink = flateCodec().deflate(kept);
  for await (const piece of inPieces(bytes, pieceBytes)) await sink.write(piece);
  await sink.end();
  expect(kept.isEnded).toBe(true);
  return kept.bytes;
}

async function unpacked(bytes: Uint8Array, pieceBytes: number): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const part of flateCodec().inflate(inPieces(bytes, pieceBytes))) parts.push(part.slice());
  return Buffer.concat(parts);
}

/** Noise in one half, steps in the other, so that segments are packed in different ways. */
function samples(length: number, seed: number): Uint8Array {
  const next = random(seed);
  return Uint8Array.from({ length }, (_, i) => (i < length / 2 ? Math.floor(next() * 256) : (i >> 9) & 255));
}

describe('Flate in segments', () => {
  it('zlib unpacks what was packed, whatever its length and its pieces (RFC 1950, RFC 1951)', async () => {
    const lengths = fc.oneof(fc.integer({ min: 0, max: 70_000 }), fc.constantFrom(1 << 21, (1 << 21) + 1));
    await fc.assert(
      fc.asyncProperty(
        lengths,
        fc.integer({ min: 1000, max: 300_000 }),
        fc.nat(),
        async (length, piece, seed) => {
          const bytes = samples(length, seed);
          // A whole checksum at the end: zlib compares it.
          expect(inflateSync(await packed(bytes, piece)).equals(Buffer.from(bytes))).toBe(true);
        },
      ),
      { numRuns: 20, seed: 1950 },
    );
  });

  it('the same samples give the same bytes, however they come and however busy the threads are', async () => {
    const bytes = samples(5_500_000, 17);
    const [first, ...others] = await Promise.all(
      [70_000, 65_536, 1_000_003, 999].map((n) => packed(bytes, n)),
    );
    for (const other of others) expect(Buffer.from(other).equals(Buffer.from(first!))).toBe(true);
    expect(inflateSync(first!).equals(Buffer.from(bytes))).toBe(true);
  });

  it('flat samples are packed as small as by zlib, noise hardly larger than it is', async () => {
    const flat = Uint8Array.from({ length: 2_000_000 }, (_, i) => (i >> 9) & 255);
    expect((await packed(flat, 65_536)).length).toBeLessThan(30_000);
    const noise = samples(4_000_000, 3).subarray(0, 2_000_000);
    expect((await packed(noise, 65_536)).length).toBeLessThan(2_002_000);
  });

  it('the checksum is Adler-32, and can be taken in parts (RFC 1950, 8.2)', () => {
    // From memory, widely published: the checksum of "Wikipedia" is 11E60398 in hexadecimal.
    expect(adler32(Buffer.from('Wikipedia')).toString(16)).toBe('11e60398');
    const bytes = samples(123_457, 5);
    expect(adler32(bytes.subarray(40_001), adler32(bytes.subarray(0, 40_001)))).toBe(adler32(bytes));
  });

  it('CUT13 damaged data end early, with all that came before the damage, at whatever pace it is read', async () => {
    const bytes = samples(3_000_000, 9);
    const whole = await packed(bytes, 65_536);
    const cut = whole.subarray(0, 1_400_000);
    const quick = await unpacked(cut, 50_000);
    expect(quick.length).toBeGreaterThan(1_000_000);
    expect(quick.equals(Buffer.from(bytes.subarray(0, quick.length)))).toBe(true);
    let length = 0;
    for await (const part of flateCodec().inflate(inPieces(cut, 50_000))) {
      await new Promise((resolve) => setTimeout(resolve, 5));
      length += part.length;
    }
    expect(length).toBe(quick.length);
  });

  it('streams unpacked side by side, one of them left early, do not mix', async () => {
    const pictures = [1, 2, 3].map((seed) => samples(2_000_000, seed));
    const packedOnes = await Promise.all(pictures.map((bytes) => packed(bytes, 100_000)));
    const leftEarly = async (): Promise<number> => {
      for await (const part of flateCodec().inflate(inPieces(packedOnes[0]!, 30_000))) return part.length;
      return 0;
    };
    for (let round = 0; round < 3; round += 1) {
      const [early, ...others] = await Promise.all([
        leftEarly(),
        ...packedOnes.map((bytes) => unpacked(bytes, 70_001)),
      ]);
      expect(early).toBeGreaterThan(0);
      for (const [i, other] of others.entries()) expect(other.equals(pictures[i]!)).toBe(true);
    }
  });

  it('errors of the source and of the output are thrown on', async () => {
    async function* failing(): AsyncGenerator<Uint8Array> {
      yield new Uint8Array(100);
      throw new Error('the disk failed');
    }
    await expect(async () => {
      for await (const _ of flateCodec().inflate(failing())) void _;
    }).rejects.toThrow('the disk failed');
    const full = { write: () => Promise.reject(new Error('no room')), end: () => undefined };
    const sink = flateCodec().deflate(full);
    await expect(async () => {
      for (let i = 0; i < 6; i++) await sink.write(samples(1_000_000, i));
      await sink.end();
    }).rejects.toThrow('no room');
  });
});
