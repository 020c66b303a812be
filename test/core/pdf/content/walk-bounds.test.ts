import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { boxGrown, isBoxEmpty } from '../../../../core/pdf/content/bounds.ts';
import { PathBounds } from '../../../../core/pdf/content/path-bounds.ts';
import { isPdfProblem } from '../../../../core/pdf/file/pdf-problem.ts';
import type { SourceBox } from '../../../../core/pdf/page/page-space.ts';
import { pdfiumPicture } from '../../../support/pdfium.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { withPdfFile } from '../../../support/tool-renderers.ts';
import { describeWithTools } from '../../../support/tools.ts';
import { inkBox, pageOf, pictureInk, seenOn } from './content-support.ts';

const FONT = '/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >> >>';
const FORM = {
  dict: '/Type /XObject /Subtype /Form /BBox [0 0 30 20] /Matrix [2 0.5 -0.25 1.5 11 7] /Resources << >>',
  data: '0.5 g -10 -10 25 100 re f 20 5 40 3 re f',
};

/**
 * How many units a box may be larger than the ink: it allows for the sharpest miter on all sides, and for the bounding
 * boxes of turned clips.
 */
const LOOSE: Readonly<Record<string, number>> = {
  'a stroked corner with a miter': 20,
  'a closed path joined at its start': 5,
  'round joins and caps': 5,
  'square caps on a slant': 5,
  'the same corner bevelled, too sharp for its limit': 5,
  // Flat ends do not reach beyond the line, which bounds do not know.
  'a stroke under an uneven scale': 9.1,
  'a stroke under rotation': 1.5,
  'a form with matrix and box': 11,
  'a form in a clip': 20,
};

/** Drawings whose extents a bounding-box device and a renderer can tell; 200 × 150 units, nothing white. */
const DRAWINGS: Readonly<Record<string, string>> = {
  'a filled rectangle': '0.2 g 31 17 90 44 re f',
  'a filled curve that bulges beyond its ends': '0.2 g 40 30 m 140 10 150 120 60 90 c f',
  'curves with the current point as control point': '0.2 g 40 30 m 150 20 60 90 v 20 140 30 60 y f',
  'a thick stroked rectangle': '7 w 31 17 90 44 re S',
  'a stroked corner with a miter': '9 w 30 30 m 120 44 l 40 70 l S',
  'the same corner bevelled, too sharp for its limit': '9 w 1.2 M 30 30 m 120 44 l 40 70 l S',
  'round joins and caps': '9 w 1 j 1 J 30 30 m 120 44 l 40 70 l S',
  'square caps on a slant': '12 w 2 J 40 40 m 120 90 l S',
  'a stroke under an uneven scale': '3 0 0 1 0 0 cm 6 w 20 30 m 20 110 l 50 110 l S',
  'a closed path joined at its start': '6 w 50 50 m 130 60 l 60 120 l s',
  'a stroke under rotation': '0.8 0.6 -0.6 0.8 60 10 cm 4 w 10 10 60 50 re S',
  'a rectangle of negative size': '0.2 g 120 90 -71 -43 re f',
  'clipped by a rectangle': 'q 45 20 60 70 re W n 0.2 g 31 17 140 44 re f Q',
  'clipped twice, then free':
    'q 45 20 60 70 re W n 60 10 80 60 re W* n 0.2 g 0 0 200 150 re f Q 10 10 4 4 re f',
  'an image stretched and turned': 'q 60 25 -20 50 70 30 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \x40 EI Q',
  'a form with matrix and box': 'q 1 0 0 1 20 10 cm /Form Do Q',
  'a form in a clip': 'q 50 20 20 30 re W n /Form Do Q',
};

const drawing = (content: string): Uint8Array =>
  rawPdf({
    page: '/MediaBox [0 0 200 150]',
    resources: `${FONT} /XObject << /Form 20 0 R >>`,
    content,
    objects: { 20: FORM },
  });

/** Outer contains inner, to a tolerance in units. */
function expectWithin(inner: SourceBox, outer: SourceBox, tolerance: number): void {
  const grown = boxGrown(outer, tolerance, tolerance);
  expect(inner.x0).toBeGreaterThanOrEqual(grown.x0);
  expect(inner.y0).toBeGreaterThanOrEqual(grown.y0);
  expect(inner.x1).toBeLessThanOrEqual(grown.x1);
  expect(inner.y1).toBeLessThanOrEqual(grown.y1);
}

describe('bounds of what is painted, against PDFium', () => {
  it.each(Object.entries(DRAWINGS))('%s', async (name, content) => {
    const pdf = drawing(content);
    const box = (await inkBox(await pageOf(pdf)))!;
    const ink = pictureInk(await pdfiumPicture(pdf, { ppi: 288 }), 288)!;
    // One pixel of anti-aliasing is a quarter unit.
    expectWithin(ink, box, 0.3);
    expectWithin(box, ink, LOOSE[name] ?? 0.8);
  });

  it('text lies within its bounds, whatever moves or stretches it', async () => {
    for (const content of [
      'BT /F 20 Tf 30 60 Td (Bookmobile jgq) Tj ET',
      'BT /F 14 Tf 150 Tz 10 60 Td [(Al)-500(der) 300 (y)] TJ 6 Ts (up) Tj ET',
      "BT /F 12 Tf 3 Tc 9 Tw 0.9 0.4 -0.4 0.9 30 20 Tm 15 TL (one two) Tj T* (three) ' ET",
      'BT /F 1 Tf 18 0 6 18 20 40 Tm (slant) Tj 1 Tr 0.1 w (line) Tj ET',
      '1 0 0 -1 0 150 cm BT /F 16 Tf 20 50 Td (upside down) Tj ET',
    ]) {
      const pdf = drawing(content);
      const box = (await inkBox(await pageOf(pdf)))!;
      const ink = pictureInk(await pdfiumPicture(pdf, { ppi: 144 }), 144)!;
      expectWithin(ink, box, 0.5);
      // Fonts state one box for all their glyphs: a line of text is at most two sizes larger than its ink.
      expectWithin(box, ink, 40);
    }
  });

  it('where the pen stands after a string is where the next one begins', async () => {
    const one = drawing('BT /F 20 Tf 2 Tc 7 Tw 80 Tz 11 40 Td (Alder County) Tj ET');
    const two = drawing('BT /F 20 Tf 2 Tc 7 Tw 80 Tz 11 40 Td (Alder Co) Tj (unty) Tj ET');
    const whole = (await inkBox(await pageOf(one)))!;
    const parts = (await inkBox(await pageOf(two)))!;
    for (const edge of ['x0', 'y0', 'x1', 'y1'] as const) expect(parts[edge]).toBeCloseTo(whole[edge], 9);
  });

  it('drawn glyphs are measured, not taken from the box that their font states', async () => {
    const type3 = {
      20: '<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [0.01 0 0 0.01 0 0] /FirstChar 65 /LastChar 66 /Widths [80 60] /Encoding << /Differences [65 /hill /pond] >> /CharProcs << /hill 21 0 R /pond 22 0 R >> /Resources << >> >>',
      21: { data: '80 0 0 0 1 1 d1 0 -20 70 90 re f' },
      22: { data: '60 0 d0 0 0 1 rg 10 0 m 55 0 l 30 120 l f' },
    };
    const pdf = rawPdf({
      page: '/MediaBox [0 0 200 150]',
      resources: '/Font << /T 20 0 R >>',
      content: 'BT /T 50 Tf 20 40 Td (AB) Tj ET',
      objects: type3,
    });
    const page = await pageOf(pdf);
    const ink = pictureInk(await pdfiumPicture(pdf, { ppi: 144 }), 144)!;
    expectWithin(ink, (await inkBox(page))!, 0.6);
    const inside = (await seenOn(page, { entersGlyphs: true })).filter((seen) => seen.within === 'glyph');
    expect(inside.map((seen) => seen.fill)).toEqual(['DeviceGray', 'DeviceRGB']);
  });
});

describeWithTools(['gs'], 'bounds of what is painted, against a bounding-box device', () => {
  it('every drawing', async () => {
    for (const [name, content] of Object.entries(DRAWINGS)) {
      const pdf = drawing(content);
      const said = withPdfFile(pdf, (path) =>
        spawnSync('gs', ['-q', '-dNOPAUSE', '-dBATCH', '-dSAFER', '-sDEVICE=bbox', path], {
          encoding: 'utf8',
        }),
      );
      const [x0, y0, x1, y1] = /HiResBoundingBox: (.*)/.exec(said.stderr)![1]!.split(' ').map(Number);
      const box = (await inkBox(await pageOf(pdf)))!;
      expectWithin({ x0: x0!, y0: y0!, x1: x1!, y1: y1! }, box, 0.05);
      expectWithin(box, { x0: x0!, y0: y0!, x1: x1!, y1: y1! }, LOOSE[name] ?? 0.05);
    }
  });
});

describe('paths by themselves', () => {
  it('a right angle is mitred by half its width, a half-turn is not mitred at all', () => {
    const style = { ctm: [1, 0, 0, 1, 0, 0] as const, lineWidth: 4, lineCap: 0, lineJoin: 0, miterLimit: 10 };
    const path = new PathBounds();
    path.addRectangle(style.ctm, 10, 20, 30, 5);
    expect(path.strokeBox(style)).toEqual({ x0: 8, y0: 18, x1: 42, y1: 27 });
    path.clear();
    path.moveTo(style.ctm, 0, 0);
    path.lineTo(style.ctm, 10, 10);
    path.lineTo(style.ctm, 0, 0);
    expect(path.strokeBox(style)).toEqual({ x0: -2, y0: -2, x1: 12, y1: 12 });
    path.clear();
    expect(isBoxEmpty(path.fillBox)).toBe(true);
  });
});

describe('forms that have no end', () => {
  const form = (data: string, resources: string) => ({
    dict: `/Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << ${resources} >> >>`,
    data,
  });

  it('a form that paints itself, directly or by another, is painted once', async () => {
    const pdf = rawPdf({
      page: '/MediaBox [0 0 9 9]',
      resources: '/XObject << /A 20 0 R >>',
      content: '/A Do',
      objects: {
        20: form('1 1 2 2 re f /A Do /B Do', '/A 20 0 R /B 21 0 R'),
        21: form('3 3 2 2 re f /A Do', '/A 20 0 R'),
      },
    });
    const seen = await seenOn(await pageOf(pdf));
    expect(seen.filter((one) => one.kind === 'path').length).toBe(2);
  });

  it('forms nested too deep are a problem, not an overflow', async () => {
    const levels = 120;
    const objects = Object.fromEntries(
      Array.from({ length: levels }, (_, i) => [
        20 + i,
        form(i === levels - 1 ? '0 0 1 1 re f' : '/N Do', i === levels - 1 ? '' : `/N ${21 + i} 0 R`),
      ]),
    );
    const pdf = rawPdf({
      page: '/MediaBox [0 0 9 9]',
      resources: '/XObject << /N 20 0 R >>',
      content: '/N Do',
      objects,
    });
    const failed = await seenOn(await pageOf(pdf)).catch((error: unknown) => error);
    expect(isPdfProblem(failed) && failed.code).toBe('pdf-nested-too-deep');
  });
});
