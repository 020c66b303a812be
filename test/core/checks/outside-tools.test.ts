/** The scan against programs of other people: poppler's lists, MuPDF's inks, Ghostscript's plates. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { demoArt } from '../../support/demo-art.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { drawn, GROUND, imageStream, PAGE, pageInMm, pageScanOf, scanOf } from './check-support.ts';

const folder = mkdtempSync(join(tmpdir(), 'panelwright-checks-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function fileOf(name: string, pdf: Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, pdf);
  return path;
}

const table = (text: string) =>
  text
    .split('\n')
    .slice(2)
    .filter((line) => line.trim() !== '');

describeWithTools(['pdfimages', 'pdffonts'], 'against poppler', () => {
  const listed = (path: string) =>
    table(runTool('pdfimages', ['-list', path]).toString()).map((line) => {
      const [page, , type, width, height, , , , , , object, , ppiX, ppiY] = line.trim().split(/\s+/);
      return { page, type, size: `${width} × ${height}`, object, ppiX: Number(ppiX), ppiY: Number(ppiY) };
    });

  it('AC2 resolution as drawn is that which pdfimages lists', async () => {
    const pdf = pageInMm(
      `${GROUND}${drawn('A', 90, 50, 60, 45)}${drawn('B', 180, 60, 31, 85)}q 0 -40 70 0 250 120 cm /A Do Q`,
      {
        resources: '/XObject << /A 20 0 R /B 21 0 R >>',
        objects: {
          20: imageStream(283, 236, '/DeviceCMYK', new Uint8Array(283 * 236 * 4)),
          21: imageStream(173, 911, '/DeviceGray', new Uint8Array(173 * 911)),
        },
      },
    );
    const ours = (await pageScanOf(pdf)).images.map(({ object, ppiX, ppiY }) => [
      String(object),
      Math.round(ppiX!),
      Math.round(ppiY!),
    ]);
    const theirs = listed(fileOf('images.pdf', pdf)).map(({ object, ppiX, ppiY }) => [object, ppiX, ppiY]);
    expect(ours).toHaveLength(3);
    expect(new Set(ours.map(String))).toEqual(new Set(theirs.map(String)));
  });

  it('AC2 AC3 the demo trailer has the images and fonts that poppler finds', async () => {
    const pdf = await demoArt('trailer');
    const path = fileOf('trailer.pdf', pdf);
    const scan = await scanOf(pdf, 'trim');
    const ours = scan.pages.flatMap(({ number, images }) =>
      images.map(({ object, ppiX, ppiY }) => `${number} ${object} ${Math.round(ppiX!)} ${Math.round(ppiY!)}`),
    );
    const theirs = listed(path)
      .filter(({ type }) => type === 'image')
      .map(({ page, object, ppiX, ppiY }) => `${page} ${object} ${ppiX} ${ppiY}`);
    expect(new Set(ours)).toEqual(new Set(theirs));

    const fonts = table(runTool('pdffonts', [path]).toString()).map((line) => {
      const columns = line.trim().split(/\s+/);
      return `${columns[0]!.replace(/^[A-Z]{6}\+/, '')} ${columns.at(-5)}`;
    });
    const embedded = scan.pages.flatMap((page) =>
      page.fonts.map(({ name, kind }) => `${name} ${kind === 'missing' ? 'no' : 'yes'}`),
    );
    expect(new Set(embedded)).toEqual(new Set(fonts));
  });

  it('AC3 fonts that are not embedded are those of pdffonts', async () => {
    const pdf = pageInMm('BT /F1 9 Tf 1 0 0 -1 20 60 Tm (A) Tj /F2 9 Tf (A) Tj ET', {
      resources:
        '/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> /F2 << /Type /Font /Subtype /TrueType /BaseFont /Courier-Bold >> >>',
    });
    const theirs = table(runTool('pdffonts', [fileOf('fonts.pdf', pdf)]).toString()).map(
      (line) => line.split(/\s+/)[0],
    );
    const ours = (await pageScanOf(pdf)).fonts
      .filter(({ kind }) => kind === 'missing')
      .map(({ name }) => name);
    expect(new Set(ours)).toEqual(new Set(theirs));
  });
});

describeWithTools(['mutool'], 'against MuPDF', () => {
  const MM_DPI = 25.4;

  /** The page at one pixel per mm. */
  function rendered(name: string, pdf: Uint8Array, colors: 'cmyk' | 'gray') {
    const out = join(folder, `${name}.pam`);
    const path = fileOf(`${name}.pdf`, pdf);
    runTool('mutool', [
      'draw',
      '-q',
      '-c',
      colors,
      '-F',
      'pam',
      '-A',
      '0',
      '-r',
      String(MM_DPI),
      '-o',
      out,
      path,
    ]);
    const bytes = readFileSync(out);
    const head = bytes.indexOf('ENDHDR\n') + 7;
    const width = Number(/WIDTH (\d+)/.exec(bytes.toString('latin1', 0, head))![1]);
    return { width, data: bytes.subarray(head) };
  }

  it('AC12 the heaviest flat color is that of the rendered plates', async () => {
    const flats = ['0.9 0.7 0.6 0.95', '0.31 0.8 0.9 0.2', '0.5 0.5 0.5 0.5'];
    const pdf = pageInMm(flats.map((color, i) => `${color} k ${20 + 90 * i} 40 60 70 re f`).join('\n'));
    const { data } = rendered('plates', pdf, 'cmyk');
    let heaviest = 0;
    for (let i = 0; i + 3 < data.length; i += 4) {
      heaviest = Math.max(heaviest, data[i]! + data[i + 1]! + data[i + 2]! + data[i + 3]!);
    }
    const { colors } = await pageScanOf(pdf);
    expect(colors.map(({ percent }) => Math.round(percent))).toEqual([315, 221, 200]);
    expect(Math.abs(colors[0]!.percent - (100 * heaviest) / 255)).toBeLessThan(1.5);
  });

  interface Shape {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
    readonly color: string;
    readonly kind: 'rectangle' | 'triangle' | 'drop' | 'clipped';
  }
  const shape: fc.Arbitrary<Shape> = fc.record({
    x: fc.integer({ min: -20, max: 380 }),
    y: fc.integer({ min: -20, max: 190 }),
    width: fc.integer({ min: 3, max: 170 }),
    height: fc.integer({ min: 3, max: 120 }),
    color: fc.constantFrom('0.2 0.5 0.1 0.3 k', '0.1 g', '1 g', '0 0 0 0 k'),
    kind: fc.constantFrom('rectangle', 'triangle', 'drop', 'clipped'),
  });

  function operators({ x, y, width, height, color, kind }: Shape): string {
    const [right, bottom] = [x + width, y + height];
    const triangle = `${x} ${y} m ${right} ${y} l ${x} ${bottom} l h`;
    switch (kind) {
      case 'rectangle':
        return `${color} ${x} ${y} ${width} ${height} re f`;
      case 'triangle':
        return `${color} ${triangle} f`;
      case 'drop':
        return `${color} ${x} ${y} m ${right} ${y} ${right} ${bottom} ${x} ${bottom} c f`;
      case 'clipped':
        return `q ${triangle} W n ${color} ${x - 5} ${y - 5} ${width + 10} ${height + 10} re f Q`;
    }
  }

  it('AC15 what is said to be bare is bare in the rendering, whatever is painted in whatever order', async () => {
    let bareSeen = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(shape, { minLength: 1, maxLength: 25 }), async (shapes) => {
        const pdf = pageInMm(shapes.map(operators).join('\n'));
        const { paint } = await pageScanOf(pdf);
        const { width, data } = rendered('shapes', pdf, 'gray');
        expect(paint.isComplete).toBe(true);
        for (let y = 0; y < PAGE.height; y++) {
          for (let x = 0; x < PAGE.width; x++) {
            const last = paint.areas.findLast(
              ({ area }) =>
                x + 1 >= area.x && x <= area.x + area.width && y + 1 >= area.y && y <= area.y + area.height,
            );
            if (last !== undefined && !last.isWhite) continue;
            // White meets its neighbors within a pixel, where either may show.
            if (last !== undefined && !isDeepInside(last.area, x, y)) continue;
            bareSeen++;
            if (data[y * width + x] !== 255) throw new Error(`painted at ${x}, ${y}`);
          }
        }
      }),
      { numRuns: 12, seed: 417 },
    );
    expect(bareSeen).toBeGreaterThan(50_000);
  });

  const isDeepInside = (
    area: { x: number; y: number; width: number; height: number },
    x: number,
    y: number,
  ) =>
    x >= area.x + 0.01 &&
    y >= area.y + 0.01 &&
    x + 1 <= area.x + area.width - 0.01 &&
    y + 1 <= area.y + area.height - 0.01;
});

describeWithTools(['gs'], 'against Ghostscript', () => {
  it('spot inks are those that get a plate of their own', async () => {
    const pdf = pageInMm(`${GROUND}/Red cs 1 scn 90 50 60 45 re f /Gold cs 0.5 0.7 scn 180 50 60 45 re f`, {
      resources:
        '/ColorSpace << /Red [/Separation /Signal#20Red /DeviceCMYK 30 0 R] /Gold [/DeviceN [/Cyan /Gold#20Leaf] /DeviceCMYK 31 0 R] >>',
      objects: {
        30: { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' },
        31: { dict: '/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]', data: '{ 0 exch 0 }' },
      },
    });
    const out = join(folder, 'plates.tif');
    runTool('gs', [
      '-q',
      '-dBATCH',
      '-dNOPAUSE',
      '-dSAFER',
      '-sDEVICE=tiffsep',
      '-r18',
      `-sOutputFile=${out}`,
      fileOf('spots.pdf', pdf),
    ]);
    // One file for each plate: `plates(Signal Red).tif`.
    const plates = readdirSync(folder).flatMap((name) => /^plates\((.+)\)\.tif$/.exec(name)?.[1] ?? []);
    const ours = (await pageScanOf(pdf)).spots.map(({ name }) => name);
    expect(new Set(ours)).toEqual(
      new Set(plates.filter((name) => !['Cyan', 'Magenta', 'Yellow', 'Black'].includes(name))),
    );
    expect(ours).toHaveLength(2);
  });
});
