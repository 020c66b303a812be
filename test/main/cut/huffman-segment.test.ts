import { deflateRawSync, inflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adler32, adler32Joined } from '../../../core/pdf/file/adler32.ts';
import { codeLengths, codesWritten } from '../../../main/cut/huffman-code.ts';
import { HuffmanSegment } from '../../../main/cut/huffman-segment.ts';
import { packedRoom, packSegment } from '../../../main/cut/segment.ts';
import { random } from '../../core/pdf/images/jpeg-made.ts';

const BLOCK = 1 << 18;

/** Bytes whose kinds come ever more rarely: `skew` 1 for all alike, more for longer codes. */
function skewed(length: number, seed: number, skew: number): Uint8Array {
  const next = random(seed);
  return Uint8Array.from({ length }, () => Math.floor(256 * next() ** skew));
}

function codesPacked(bytes: Uint8Array, isLast: boolean): Uint8Array {
  const room = new Uint8Array(packedRoom(bytes.length));
  return room.subarray(0, new HuffmanSegment(bytes).packInto(room, isLast));
}

describe('Flate by codes alone', () => {
  it('zlib unpacks it, as a whole stream and as one that goes on (RFC 1951)', () => {
    const lengths = fc.oneof(
      fc.integer({ min: 1, max: 5000 }),
      fc.constantFrom(BLOCK, BLOCK + 1, 2 * BLOCK - 1),
    );
    fc.assert(
      fc.property(lengths, fc.nat(), fc.constantFrom(1, 2, 5, 40), (length, seed, skew) => {
        const bytes = skewed(length, seed, skew);
        expect(inflateRawSync(codesPacked(bytes, true)).equals(bytes)).toBe(true);
        const first = codesPacked(bytes, false);
        const both = inflateRawSync(Buffer.concat([first, deflateRawSync(Buffer.from('and on'))]));
        expect(both.equals(Buffer.concat([bytes, Buffer.from('and on')]))).toBe(true);
      }),
      { numRuns: 60, seed: 1951 },
    );
  });

  it('it is as small as zlib makes noise by its own codes', () => {
    const next = random(11);
    const grain = Uint8Array.from({ length: 1 << 20 }, () => 128 + 25 * (next() + next() + next() - 1.5));
    expect(codesPacked(grain, true).length).toBeLessThan(deflateRawSync(grain).length);
  });

  it('codes have at most the bits that they may, and leave none unused (RFC 1951, 3.2.2 and 3.2.7)', () => {
    // Weights by Fibonacci make the deepest tree there is.
    const fibonacci = [1, 1];
    for (let i = 2; i < 40; i += 1) fibonacci.push(fibonacci[i - 1]! + fibonacci[i - 2]!);
    const weights = fc.oneof(
      fc.constant(fibonacci),
      fc.array(fc.integer({ min: 0, max: 1e6 }), { minLength: 2, maxLength: 300 }),
    );
    fc.assert(
      fc.property(weights, fc.constantFrom(9, 15), (list, limit) => {
        fc.pre(list.filter((weight) => weight > 0).length > 1);
        const lengths = codeLengths(Uint32Array.from(list), limit);
        const used = [...lengths].filter((length) => length > 0);
        expect(Math.max(...used)).toBeLessThanOrEqual(limit);
        expect(used.length).toBe(list.filter((weight) => weight > 0).length);
        expect(used.reduce((sum, length) => sum + 2 ** -length, 0)).toBe(1);
      }),
      { seed: 1952 },
    );
  });

  it('the codes of the worked example are those of RFC 1951, 3.2.2', () => {
    // A to H of 3, 3, 3, 3, 3, 2, 4, 4 bits: 010 011 100 101 110 00 1110 1111.
    const codes = codesWritten(Uint8Array.of(3, 3, 3, 3, 3, 2, 4, 4));
    const written = [...codes].map((code) => {
      const bits = (code & 0xffff).toString(2).padStart(code >> 16, '0');
      return [...bits].reverse().join('');
    });
    expect(written).toEqual(['010', '011', '100', '101', '110', '00', '1110', '1111']);
  });
});

describe('a segment', () => {
  const packed = (bytes: Uint8Array): Uint8Array =>
    packSegment(bytes, true, new Uint8Array(packedRoom(bytes.length))).bytes;

  it('one with a photograph in the middle of flat color is not packed by codes alone', () => {
    const bytes = new Uint8Array(1 << 20).fill(40);
    bytes.set(skewed(1 << 19, 4, 1), 1 << 18);
    expect(inflateRawSync(packed(bytes)).equals(bytes)).toBe(true);
    expect(packed(bytes).length).toBeLessThan((1 << 19) + 10_000);
  });

  it('one that repeats itself is packed nearly as small as zlib makes it', () => {
    const tile = skewed(5000, 8, 1);
    const bytes = Uint8Array.from({ length: 1 << 20 }, (_, i) => tile[i % tile.length]!);
    expect(inflateRawSync(packed(bytes)).equals(bytes)).toBe(true);
    expect(packed(bytes).length).toBeLessThan(deflateRawSync(bytes).length * 1.02);
  });

  it('checksums of parts join to that of the whole (RFC 1950, 8.2)', () => {
    const bytes = skewed(200_003, 6, 1);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: bytes.length }), (at) => {
        const [first, second] = [bytes.subarray(0, at), bytes.subarray(at)];
        expect(adler32Joined(adler32(first), adler32(second), second.length)).toBe(adler32(bytes));
      }),
    );
  });
});
