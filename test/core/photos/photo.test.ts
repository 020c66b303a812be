import { describe, expect, it } from 'vitest';
import { photoCleaned } from '../../../core/photos/photo.ts';
import { webpTurn } from '../../../core/photos/webp-cleaned.ts';

const text = (words: string) => [...words].map((letter) => letter.charCodeAt(0));
const two = (value: number) => [value >> 8, value & 255];
const four = (value: number) => [...two(value >>> 16), ...two(value & 0xffff)];
const fourLittle = (value: number) => four(value).reverse();
const holds = (bytes: Uint8Array, words: string) => Buffer.from(bytes).includes(words);

/** Marker and content, with the length between. */
const segment = (marker: number, content: readonly number[]) => [
  0xff,
  marker,
  ...two(content.length + 2),
  ...content,
];
const frame = segment(0xc0, [8, ...two(31), ...two(47), 1, 1, 0x11, 0]);
/** Orientation and an owner's name, little-endian. */
const exif = (turn: number) =>
  segment(0xe1, [
    ...text('Exif\0\0'),
    ...[0x49, 0x49, 42, 0, 8, 0, 0, 0, 2, 0],
    ...[0x12, 0x01, 3, 0, 1, 0, 0, 0, turn, 0, 0, 0],
    ...[0x3b, 0x01, 2, 0, 6, 0, 0, 0, 40, 0, 0, 0],
    ...text('GPS 48.1 N of the Owner'),
  ]);
const scan = [...segment(0xda, [1, 1, 0, 0, 63, 0]), 17, 0xff, 0, 23, 0xff, 0xd0, 29];
const jpeg = (...segments: number[][]) =>
  Uint8Array.from([0xff, 0xd8, ...segments.flat(), ...scan, 0xff, 0xd9, ...text('Owner after the end')]);

describe('a photo', () => {
  it('as JPEG loses place, owner and what follows its end, and keeps samples, colors and the turn of the camera', () => {
    const icc = segment(0xe2, text('ICC_PROFILE\0profile'));
    const given = jpeg(
      segment(0xe0, text('JFIF\0')),
      exif(6),
      segment(0xe1, text('http://ns.adobe.com/xap/1.0/ Owner')),
      icc,
      segment(0xed, text('Photoshop 3.0 Owner')),
      segment(0xfe, text('Owner')),
      frame,
    );
    const cleaned = photoCleaned(given)!;
    // On its side: 47 × 31 as stored is 31 × 47 as seen.
    expect(cleaned).toMatchObject({ mediaType: 'image/jpeg', widthPx: 31, heightPx: 47 });
    for (const word of ['Owner', 'GPS', 'Photoshop', 'adobe']) expect(holds(cleaned.bytes, word)).toBe(false);
    const turn = segment(0xe1, [
      ...text('Exif\0\0MM'),
      ...[0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0],
    ]);
    const expected = [
      [0xff, 0xd8],
      turn,
      segment(0xe0, text('JFIF\0')),
      icc,
      frame,
      scan,
      [0xff, 0xd9],
    ].flat();
    expect([...cleaned.bytes]).toEqual(expected);
    expect(photoCleaned(cleaned.bytes)).toEqual(cleaned);
  });

  it('as JPEG that lies as it was taken carries no Exif at all', () => {
    const cleaned = photoCleaned(jpeg(exif(1), frame))!;
    expect(cleaned).toMatchObject({ widthPx: 47, heightPx: 31 });
    expect(holds(cleaned.bytes, 'Exif')).toBe(false);
  });

  it('as PNG keeps what it is drawn from', () => {
    const chunk = (kind: string, content: readonly number[]) => [
      ...four(content.length),
      ...text(kind),
      ...content,
      1,
      2,
      3,
      4,
    ];
    const signature = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
    const header = chunk('IHDR', [...four(47), ...four(31), 8, 2, 0, 0, 0]);
    const drawn = [header, chunk('IDAT', [5, 6, 7]), chunk('IEND', [])];
    const given = [
      signature,
      header,
      chunk('eXIf', text('MM GPS')),
      chunk('tEXt', text('Author\0Owner')),
      ...drawn.slice(1),
      text('Owner'),
    ];
    const cleaned = photoCleaned(Uint8Array.from(given.flat()))!;
    expect(cleaned).toMatchObject({ mediaType: 'image/png', widthPx: 47, heightPx: 31 });
    expect([...cleaned.bytes]).toEqual([signature, ...drawn].flat());
  });

  it('as WebP loses Exif and XMP, and says that it has none', () => {
    const chunk = (kind: string, content: readonly number[]) => [
      ...text(kind),
      ...fourLittle(content.length),
      ...content,
      ...(content.length % 2 ? [0] : []),
    ];
    const riff = (...chunks: number[][]) => [
      ...text('RIFF'),
      ...fourLittle(4 + chunks.flat().length),
      ...text('WEBP'),
      ...chunks.flat(),
    ];
    const extended = (flags: number) => chunk('VP8X', [flags, 0, 0, 0, 46, 0, 0, 30, 0, 0]);
    const picture = chunk('VP8L', [0x2f, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0]);
    const given = riff(extended(0x2c), picture, chunk('EXIF', text('GPS')), chunk('XMP ', text('Owner')));
    const cleaned = photoCleaned(Uint8Array.from(given))!;
    expect(cleaned).toMatchObject({ mediaType: 'image/webp', widthPx: 47, heightPx: 31 });
    expect([...cleaned.bytes]).toEqual(riff(extended(0x20), picture));
  });

  it('as WebP keeps how the camera was held, in its one Exif entry', () => {
    const chunk = (kind: string, content: readonly number[]) => [
      ...text(kind),
      ...fourLittle(content.length),
      ...content,
    ];
    const file = (...chunks: number[][]) =>
      Uint8Array.from([
        ...text('RIFF'),
        ...fourLittle(4 + chunks.flat().length),
        ...text('WEBP'),
        ...chunks.flat(),
      ]);
    const extended = (flags: number) => chunk('VP8X', [flags, 0, 0, 0, 46, 0, 0, 30, 0, 0]);
    const picture = chunk('VP8L', [0x2f, 8, 7, 6, 5, 4, 3, 2, 1, 0]);
    // A little-endian directory of two entries: the maker, and a turn by a quarter (CIPA DC-008, table 4).
    const directory = [
      ...[0x49, 0x49, 42, 0, 8, 0, 0, 0, 2, 0],
      ...[0x0f, 0x01, 2, 0, 4, 0, 0, 0, ...text('Own\0')],
      ...[0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0],
      ...[0, 0, 0, 0],
    ];
    const cleaned = photoCleaned(file(extended(0x08), picture, chunk('EXIF', directory)))!;
    expect(cleaned).toMatchObject({ mediaType: 'image/webp', widthPx: 31, heightPx: 47 });
    expect(webpTurn(cleaned.bytes)).toBe(6);
    expect(holds(cleaned.bytes, 'Own')).toBe(false);
    expect(photoCleaned(cleaned.bytes)).toEqual(cleaned);
    expect(webpTurn(file(extended(0), picture))).toBe(1);
  });

  it('that is broken, cut off or no picture is none', () => {
    const whole = jpeg(exif(6), frame);
    expect(photoCleaned(Uint8Array.from(text('%PDF-1.7')))).toBeUndefined();
    expect(photoCleaned(new Uint8Array())).toBeUndefined();
    // Without its end and what follows it.
    for (let length = 0; length < whole.length - 'Owner after the end'.length; length += 1)
      expect(photoCleaned(whole.subarray(0, length))).toBeUndefined();
  });
});
