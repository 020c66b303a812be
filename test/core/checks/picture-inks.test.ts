/** Ink sums of pictures in spot inks and of palettes, by hand and by Ghostscript's plates. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { jpegMade } from '../pdf/images/jpeg-made.ts';
import { enumerated, jp2Made } from '../pdf/images/jpeg2000-made.ts';
import { codesOf, drawn, findingOf, GROUND, pageInMm, pageScanOf } from './check-support.ts';

const TO_CMYK = (inputs: number): { dict: string; data: string } => ({
  dict: `/FunctionType 4 /Domain [${'0 1 '.repeat(inputs)}] /Range [0 1 0 1 0 1 0 1]`,
  data: `{ ${'pop '.repeat(inputs)} 0.1 0.2 0.3 0.4 }`,
});
const LEAF_MOSS_RUST = '[/DeviceN [/Leaf /Moss /Rust /None] /DeviceCMYK 31 0 R]';
const REGISTRATION = '[/Separation /All /DeviceCMYK 32 0 R]';

interface Given {
  readonly space: string;
  readonly width: number;
  readonly height: number;
  readonly bits?: number;
  readonly more?: string;
  readonly data: readonly number[] | Uint8Array;
}

const pageWith = ({ space, width, height, bits = 8, more = '', data }: Given) =>
  pageInMm(GROUND + drawn('Im', 90, 50, 60, 45), {
    resources: '/XObject << /Im 20 0 R >>',
    objects: {
      20: {
        dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /BitsPerComponent ${bits} /ColorSpace ${space} ${more}`,
        data: Uint8Array.from(data),
      },
      31: TO_CMYK(4),
      32: TO_CMYK(1),
    },
  });

const inksOf = async (given: Given) => await pageScanOf(pageWith(given));

describe('ink of pictures', () => {
  // 255 + 204 + 153 of 255 is 240 %, whatever the fourth, which prints nowhere; the second pixel is 51 of 255.
  const SPOTS: Given = {
    space: LEAF_MOSS_RUST,
    width: 2,
    height: 1,
    data: [255, 204, 153, 255, 0, 51, 0, 255],
  };

  it('AC12 spot inks count as themselves, and None as nothing', async () => {
    const { imageInks, imagesUncounted } = await inksOf(SPOTS);
    expect(imagesUncounted).toBe(0);
    expect(imageInks[0]!.maxPercent).toBeCloseTo(240, 9);
    // Above 10 % both, above 20 % one: 51 is 20 % and no more.
    expect([1, 2, 23, 24].map((step) => imageInks[0]!.shares[step])).toEqual([1, 0.5, 0.5, 0]);
  });

  it('AC12 Decode turns inks round one by one', async () => {
    const { imageInks } = await inksOf({ ...SPOTS, more: '/Decode [1 0 0 1 1 0 0 1]' });
    // 0 + 204 + 102, and 255 + 51 + 255.
    expect(imageInks[0]!.maxPercent).toBeCloseTo((100 * 561) / 255, 9);
  });

  it('AC12 registration lies on four plates, another ink alone is never read', async () => {
    const registration = { space: REGISTRATION, width: 3, height: 1, data: [0, 51, 230] };
    expect((await inksOf(registration)).imageInks[0]!.maxPercent).toBeCloseTo((400 * 230) / 255, 9);
    const one = { ...registration, space: '[/Separation /Leaf /DeviceCMYK 32 0 R]' };
    expect((await inksOf(one)).imageInks).toEqual([]);
    expect((await inksOf({ ...one, data: [] })).imagesUncounted).toBe(0);
  });

  const PALETTE = '<00000000 FFCC9933 FFFFFFFF>';
  it('AC12 a palette counts by the entries that are used', async () => {
    const space = `[/Indexed /DeviceCMYK 2 ${PALETTE}]`;
    const used = await inksOf({ space, width: 3, height: 1, data: [0, 1, 1] });
    expect(used.imageInks[0]!.maxPercent).toBeCloseTo((100 * (255 + 204 + 153 + 51)) / 255, 9);
    expect(used.imageInks[0]!.shares[25]).toBeCloseTo(2 / 3, 9);
    // Beyond the palette is its last entry.
    const beyond = await inksOf({ space, width: 1, height: 1, data: [9] });
    expect(beyond.imageInks[0]!.maxPercent).toBe(400);
  });

  it('AC12 indices of few bits begin each row anew, and Decode turns them round', async () => {
    // Two bits each: rows 0 1 0 and 1 0 2.
    const given = {
      space: `[/Indexed ${LEAF_MOSS_RUST} 2 <000000FF CC9933FF FFFFFFFF>]`,
      bits: 2,
      width: 3,
      height: 2,
      data: [0b000100_11, 0b010010_11],
    };
    const { imageInks } = await inksOf(given);
    expect(imageInks[0]!.maxPercent).toBe(300);
    expect(imageInks[0]!.shares[15]).toBeCloseTo(3 / 6, 9);
    expect(imageInks[0]!.shares[16]).toBeCloseTo(1 / 6, 9);
    // 3 less the index: 3 2 3 and 2 3 1, of which 3 counts as 2.
    const turned = (await inksOf({ ...given, more: '/Decode [3 0]' })).imageInks[0]!;
    expect(turned.shares[16]).toBeCloseTo(5 / 6, 9);
  });

  it('AC12 of sixteen bits the upper eight are taken', async () => {
    const data = [230, 9, 204, 8, 204, 7, 128, 6];
    const { imageInks } = await inksOf({ space: '/DeviceCMYK', bits: 16, width: 1, height: 1, data });
    expect(imageInks[0]!.maxPercent).toBeCloseTo((100 * (230 + 204 + 204 + 128)) / 255, 9);
  });

  it('AC12 JPEG 2000 of four inks is named, whether the dictionary or the data say so', async () => {
    const page = (data: Uint8Array, space = '') =>
      pageInMm(GROUND + drawn('Im', 90, 50, 60, 45), {
        resources: '/XObject << /Im 20 0 R >>',
        objects: {
          20: { dict: `/Subtype /Image /Width 5 /Height 3 /Filter /JPXDecode ${space}`, data },
        },
      });
    const inks = jp2Made(5, 3, 4, [enumerated(12)]);
    const scans = await Promise.all([page(inks), page(inks, '/ColorSpace /DeviceCMYK')].map(pageScanOf));
    expect(scans.map(({ imagesUncounted, unknownSpaces }) => [imagesUncounted, unknownSpaces])).toEqual([
      [1, 0],
      [1, 0],
    ]);
    const light = await pageScanOf(page(jp2Made(5, 3, 3, [enumerated(16)])));
    expect(light.imagesUncounted).toBe(0);
    expect(light.spaces.map(({ label }) => label)).toContain('DeviceRGB');
    expect((await pageScanOf(page(Uint8Array.of(1, 2, 3)))).unknownSpaces).toBe(1);
  });

  it('AC12 what cannot be read is named: a palette that is not there, a JPEG of other inks', async () => {
    const lost = pageWith({ space: '[/Indexed /DeviceCMYK 2 99 0 R]', width: 1, height: 1, data: [1] });
    expect((await findingOf(lost, 'ink-uncounted')).message).toContain(
      'one picture in process or spot inks on page 1',
    );
    const three = jpegMade({
      width: 8,
      height: 8,
      sampling: [
        [1, 1],
        [1, 1],
        [1, 1],
      ],
      scans: [[0, 1, 2]],
      restartInterval: 0,
      hasWideQuantisation: false,
      adobeTransform: 0,
      seed: 4,
    });
    const given = { space: LEAF_MOSS_RUST, width: 8, height: 8, more: '/Filter /DCTDecode', data: three };
    expect(await codesOf(pageWith(given))).toContain('ink-uncounted');
    const fits = { ...given, space: '[/DeviceN [/Leaf /Moss /Rust] /DeviceCMYK 31 0 R]' };
    expect((await inksOf(fits)).imageInks[0]!.isAveraged).toBe(true);
  });
});

describeWithTools(['gs'], 'ink of pictures by Ghostscript', () => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-plates-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  /** The samples of an uncompressed TIFF of one plate (TIFF 6.0, tags 273 and 279). */
  function plateSamples(path: string): Uint8Array {
    const bytes = readFileSync(path);
    expect(bytes.toString('latin1', 0, 2)).toBe('II');
    const ifd = bytes.readUInt32LE(4);
    const tags = new Map<number, number[]>();
    for (let i = 0; i < bytes.readUInt16LE(ifd); i++) {
      const at = ifd + 2 + 12 * i;
      const [type, count] = [bytes.readUInt16LE(at + 2), bytes.readUInt32LE(at + 4)];
      const size = type === 3 ? 2 : 4;
      const from = count * size > 4 ? bytes.readUInt32LE(at + 8) : at + 8;
      tags.set(
        bytes.readUInt16LE(at),
        Array.from({ length: count }, (_, k) =>
          size === 2 ? bytes.readUInt16LE(from + 2 * k) : bytes.readUInt32LE(from + 4 * k),
        ),
      );
    }
    return Buffer.concat(tags.get(273)!.map((start, i) => bytes.subarray(start, start + tags.get(279)![i]!)));
  }

  /** The largest sum over all plates in the middle of the picture's pixels, in percent. */
  function heaviestByPlates(name: string, pdf: Uint8Array): number {
    const path = join(folder, `${name}.pdf`);
    writeFileSync(path, pdf);
    const out = `-sOutputFile=${join(folder, `${name}.tif`)}`;
    runTool('gs', [
      ...['-q', '-dBATCH', '-dNOPAUSE', '-dSAFER', '-sDEVICE=tiffsep', '-sCompression=none', '-r72'],
      ...[out, path],
    ]);
    const plates = readdirSync(folder).filter((file) => file.startsWith(`${name}(`));
    expect(plates.length).toBeGreaterThanOrEqual(4);
    const samples = plates.map((file) => plateSamples(join(folder, file)));
    let heaviest = 0;
    for (let at = 0; at < samples[0]!.length; at++) {
      heaviest = Math.max(
        heaviest,
        samples.reduce((sum, plate) => sum + 255 - plate[at]!, 0),
      );
    }
    return heaviest / 2.55;
  }

  const KINDS: readonly (readonly [string, Given])[] = [
    ['spots', { space: LEAF_MOSS_RUST, width: 2, height: 1, data: [250, 204, 153, 255, 0, 51, 0, 255] }],
    [
      'mixed',
      {
        space: '[/DeviceN [/Cyan /Moss /Black /Rust] /DeviceCMYK 31 0 R]',
        width: 1,
        height: 2,
        data: [230, 179, 26, 128, 77, 200, 240, 13],
        more: '/Decode [0 1 1 0 0 1 0 1]',
      },
    ],
    [
      'palette',
      {
        space: `[/Indexed ${LEAF_MOSS_RUST} 2 <00000000 CC9933FF FFFFFFFF>]`,
        bits: 2,
        width: 3,
        height: 2,
        data: [0b000100_00, 0b010000_00],
      },
    ],
    ['registration', { space: REGISTRATION, width: 2, height: 1, data: [31, 217] }],
  ];
  it.each(KINDS)('AC12 is that of the plates of tiffsep: %s', async (name, given) => {
    const pdf = pageWith(given);
    const { imageInks } = await pageScanOf(pdf);
    expect(Math.abs(imageInks[0]!.maxPercent - heaviestByPlates(name, pdf))).toBeLessThan(1.5);
  });
});
