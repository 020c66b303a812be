import { describe, expect, it } from 'vitest';
import { codesOf, findingOf, GROUND, pageInMm, pageScanOf } from './check-support.ts';

/** Text is set upright on a page whose y points down. */
const text = (font: string, size: number, x: number, y: number, string = 'Aa') =>
  `BT /${font} ${size} Tf 1 0 0 -1 ${x} ${y} Tm (${string}) Tj ET\n`;

const FONTS = `/Font <<
  /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>
  /F2 << /Type /Font /Subtype /TrueType /BaseFont /ABCDEF+AlderSans /FirstChar 65 /LastChar 65 /Widths [600] /FontDescriptor 21 0 R >>
  /F3 << /Type /Font /Subtype /Type0 /BaseFont /AlderSlab /Encoding /Identity-H /DescendantFonts [<< /Type /Font /Subtype /CIDFontType2 /BaseFont /AlderSlab /FontDescriptor 22 0 R >>] >>
  /F4 << /Type /Font /Subtype /Type3 /Name /Stamps /FontBBox [0 0 750 750] /FontMatrix [0.001 0 0 0.001 0 0] /FirstChar 65 /LastChar 65 /Widths [800] /Encoding << /Differences [65 /box] >> /CharProcs << /box 24 0 R >> /Resources << >> >>
>>`;
const page = (content: string) =>
  pageInMm(GROUND + content, {
    resources: FONTS,
    objects: {
      21: '<< /Type /FontDescriptor /FontName /ABCDEF+AlderSans /Ascent 760 /Descent -240 /FontFile2 23 0 R >>',
      22: '<< /Type /FontDescriptor /FontName /AlderSlab /Ascent 760 /Descent -240 >>',
      23: { data: 'not read' },
      24: { data: '800 0 d0 0 0 700 700 re f' },
    },
  });

describe('fonts', () => {
  it('AC3 fonts that the file does not embed warn by name, simple and composite ones', async () => {
    const { severity, message, where } = await findingOf(
      page(text('F1', 20, 100, 80) + text('F2', 20, 100, 110) + text('F3', 20, 100, 140, '\\000A')),
      'font-missing',
    );
    expect(severity).toBe('warn');
    expect(message).toContain('in the fonts Helvetica and AlderSlab, which the file does not embed');
    expect(where.sideId).toBe('s1');
    expect(where.area!.x).toBeLessThan(510);
  });

  it('AC3 embedded fonts, and fonts that are named and not used, are in order', async () => {
    const codes = await codesOf(page(text('F2', 20, 100, 110)));
    expect(codes).not.toContain('font-missing');
    expect(codes).not.toContain('font-type3');
    expect((await pageScanOf(page(text('F2', 20, 100, 110)))).fonts).toMatchObject([
      { name: 'AlderSans', kind: 'embedded', objects: 1 },
    ]);
  });

  it('AC3 invisible text needs no font; Type 3 is noted', async () => {
    expect(await codesOf(page(`3 Tr ${text('F1', 20, 100, 80)}`))).not.toContain('font-missing');
    const { severity, message } = await findingOf(page(text('F4', 20, 100, 80, 'A')), 'font-type3');
    expect(severity).toBe('note');
    expect(message).toContain('Stamps of Type 3');
  });
});

describe('lettering', () => {
  // MUTCD 2009, 2A.13, from memory: an inch of letter height for every 30 feet, so distance ÷ 360.
  it('AC14 lettering is noted where its capitals are lower than the viewing distance ÷ 360', async () => {
    // 1.1 mm drawn is 11 mm on the vehicle: capitals of about 7.7 mm, where 3 m ask for 8.33 mm.
    const { severity, message, figure } = await findingOf(
      page(text('F2', 1.1, 100, 80, 'A')),
      'lettering-small',
    );
    expect(severity).toBe('note');
    expect(figure).toBeCloseTo(7.7, 6);
    expect(message).toContain('“A” with capitals about 7.7 mm high where 8.3 mm are asked for');
    expect(message).toContain('500 mm from the left');
  });

  it('AC14 larger lettering, a nearer reader, and lettering beside the side are in order', async () => {
    expect(await codesOf(page(text('F2', 1.3, 100, 80, 'A')))).not.toContain('lettering-small');
    const near = { side: { viewingDistanceMm: 2500 } };
    expect(await codesOf(page(text('F2', 1.1, 100, 80, 'A')), near)).not.toContain('lettering-small');
    expect(await codesOf(page(text('F2', 1.1, 10, 190, 'A')))).not.toContain('lettering-small');
  });
});
