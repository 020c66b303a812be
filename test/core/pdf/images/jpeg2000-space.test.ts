import { describe, expect, it } from 'vitest';
import { jpeg2000Space } from '../../../../core/pdf/images/jpeg2000-space.ts';
import { codestreamMade, enumerated, jp2Made, lastIsOpacity, profiled } from './jpeg2000-made.ts';

describe('colors of JPEG 2000', () => {
  const STATED: readonly (readonly [string, number, number[][], string])[] = [
    ['sRGB', 3, [enumerated(16)], 'rgb'],
    ['luma and chroma', 3, [enumerated(18)], 'rgb'],
    ['grayscale', 1, [enumerated(17)], 'gray'],
    ['four inks', 4, [enumerated(12)], 'cmyk'],
    ['Lab', 3, [enumerated(14)], 'lab'],
    ['a profile of four inks', 4, [profiled('CMYK')], 'cmyk'],
    ['a profile of gray', 1, [profiled('GRAY')], 'gray'],
    ['red, green, blue and opacity', 4, [enumerated(16), lastIsOpacity(4)], 'rgb'],
    ['the first that is known', 4, [enumerated(900), profiled('CMYK'), enumerated(16)], 'cmyk'],
    ['none that is known, of three channels and opacity', 4, [enumerated(900), lastIsOpacity(4)], 'rgb'],
    ['none that is known, of four channels', 4, [enumerated(900)], 'cmyk'],
  ];
  it.each(STATED)('are those that a box states: %s', (_, channels, colors, expected) => {
    expect(jpeg2000Space(jp2Made(5, 3, channels, colors))).toBe(expected);
  });

  it('are told by the channels where there are no boxes', () => {
    const spaces = [1, 2, 3, 4].map((channels) => jpeg2000Space(codestreamMade(5, 3, channels)));
    expect(spaces).toEqual(['gray', 'gray', 'rgb', 'cmyk']);
  });

  it('are found behind a box of eight-byte length, and in the first part of a file alone', () => {
    const file = jp2Made(5, 3, 4, [enumerated(12)]);
    // Signature, then a long box of 20 bytes, then the rest.
    const long = [
      0,
      0,
      0,
      1,
      ...[...'free'].map((c) => c.charCodeAt(0)),
      0,
      0,
      0,
      0,
      0,
      0,
      0,
      20,
      1,
      2,
      3,
      4,
    ];
    expect(jpeg2000Space(Uint8Array.from([...file.subarray(0, 12), ...long, ...file.subarray(12)]))).toBe(
      'cmyk',
    );
    expect(jpeg2000Space(file.subarray(0, 80))).toBe('cmyk');
  });

  it('are nobody’s guess where the data are damaged', () => {
    const file = jp2Made(5, 3, 4, [enumerated(12)]);
    for (let length = 0; length < 58; length++)
      expect(jpeg2000Space(file.subarray(0, length))).toBeUndefined();
    expect(jpeg2000Space(Uint8Array.of(0, 0, 0, 3, 0, 0, 0, 0, 1, 2, 3, 4))).toBeUndefined();
    expect(jpeg2000Space(codestreamMade(5, 3, 4).subarray(0, 41))).toBeUndefined();
  });
});
