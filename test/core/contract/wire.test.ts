import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { base64FromBytes, bytesFromBase64, wireText, wireValue } from '../../../core/contract/wire.ts';

describe('values on the wire', () => {
  // RFC 4648, section 10: test vectors.
  it.each([
    ['', ''],
    ['f', 'Zg=='],
    ['fo', 'Zm8='],
    ['foo', 'Zm9v'],
    ['foob', 'Zm9vYg=='],
    ['fooba', 'Zm9vYmE='],
    ['foobar', 'Zm9vYmFy'],
  ])('encode %j as RFC 4648 does', (plain, encoded) => {
    const bytes = new TextEncoder().encode(plain);
    expect(base64FromBytes(bytes)).toBe(encoded);
    expect(bytesFromBase64(encoded)).toEqual(bytes);
  });

  it('agree with Node’s own base64 over any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 999 }), (bytes) => {
        expect(base64FromBytes(bytes)).toBe(Buffer.from(bytes).toString('base64'));
        expect(bytesFromBase64(base64FromBytes(bytes))).toEqual(bytes);
      }),
    );
  });

  it('come back as they were, bytes inside included', () => {
    const value = { a: [1, null, 'ü'], nested: { png: Uint8Array.of(0, 255, 7) } };
    expect(wireValue(wireText(value))).toEqual(value);
  });

  it('carry the bytes of a Node buffer, which has a text form of its own', () => {
    expect(wireValue(wireText({ png: Buffer.from([9, 8, 250]) }))).toEqual({ png: Uint8Array.of(9, 8, 250) });
  });

  it('refuse text that is not base64', () => {
    expect(() => bytesFromBase64('a*b=')).toThrow(RangeError);
  });
});
