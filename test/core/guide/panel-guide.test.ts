import { PDFDocument } from 'pdf-lib';
import { chromium } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { GUIDE_LAYERS } from '../../../core/guide/guide-names.ts';
import { guidePage, guideScale } from '../../../core/guide/guide-page.ts';
import { guidePdf } from '../../../core/guide/guide-pdf.ts';
import { guideSvg } from '../../../core/guide/guide-svg.ts';
import { type PanelGuide, panelGuide } from '../../../core/guide/panel-guide.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { MAX_PAGE_MM } from '../../../core/measure/page-limits.ts';
import { sheetFonts } from '../../../main/tasks/output-sheets.ts';
import { CHROMIUM, CHROMIUM_ARGS } from '../../browser/workstation.ts';
import { smallJob } from '../../support/small-job.ts';
import { describeWithTools } from '../../support/tools.ts';

const BLEED = { top: 41, right: 52, bottom: 63, left: 74 };
const side: Side = {
  ...smallJob().sides[0]!,
  bleed: BLEED,
  bodyLines: [{ id: 'b1', name: 'Belt molding', kind: 'molding', direction: 'horizontal', atMm: 500 }],
  noFilmAreas: [
    {
      id: 'w1',
      name: 'Cab window',
      kind: 'window',
      rect: { xMm: 2200, yMm: 200, widthMm: 600, heightMm: 310 },
      clearanceMm: 17,
    },
  ],
};
const jobOf = (over: Partial<Side> = {}): Job => smallJob({ sides: [{ ...side, ...over }] });
const facts = { title: 'Guide', author: '', subject: '', date: '2026-03-09', sha256: 'b'.repeat(64) };

function guideOf(job: Job, scale = 10): PanelGuide {
  return panelGuide(job, jobLayout(job)[0]!, { fonts: sheetFonts(), scale, revision: 'ab12cd', ppi: 29.1 });
}

const layerOf = ({ layers }: PanelGuide, kind: keyof typeof GUIDE_LAYERS) =>
  layers.find(({ name }) => name === GUIDE_LAYERS[kind])!;

/** Corners of all lines of a layer, on the side. */
function placesOf(guide: PanelGuide, kind: keyof typeof GUIDE_LAYERS, scale = 10): [number, number][] {
  const { trim } = guide.page;
  return layerOf(guide, kind).strokes.flatMap(({ steps }) =>
    steps.flatMap(([step, x, y]) =>
      step === 'M' || step === 'L'
        ? [[(x! - trim.x) * scale, (y! - trim.y) * scale] as [number, number]]
        : [],
    ),
  );
}
const has = (places: readonly [number, number][], x: number, y: number) =>
  places.some(([px, py]) => Math.abs(px - x) < 0.01 && Math.abs(py - y) < 0.01);

describe('the panel guide', () => {
  it('draws outline, bleed, panels, seams with their overlaps, and no-film areas with their clearance', () => {
    const guide = guideOf(jobOf());
    expect(guide.layers.map(({ name }) => name)).toEqual(Object.values(GUIDE_LAYERS));
    for (const { name, strokes } of guide.layers) expect(strokes.length, name).toBeGreaterThan(0);
    const outline = placesOf(guide, 'outline');
    for (const [x, y] of [
      [0, 0],
      [3100, 1300],
      [-74, -41],
      [3152, 1363],
    ] as const)
      expect(has(outline, x, y), `${x} ${y}`).toBe(true);
    // One lap at 1330: the first panel extends 15 past it, the second 10.
    const seams = placesOf(guide, 'seams');
    expect([...new Set(seams.map(([x]) => Math.round(x)))].sort()).toEqual([1320, 1330, 1345]);
    // 25 mm beside the overlap, and 50 inside the edge.
    const zones = placesOf(guide, 'lettering');
    for (const x of [1295, 1370]) expect(has(zones, x, 0) && has(zones, x, 1300)).toBe(true);
    expect(has(zones, 50, 50) && has(zones, 3050, 1250)).toBe(true);
    const noFilm = placesOf(guide, 'noFilm');
    expect(has(noFilm, 2200, 200) && has(noFilm, 2800, 510)).toBe(true);
    expect(has(noFilm, 2183, 183) && has(noFilm, 2817, 527)).toBe(true);
    expect(has(placesOf(guide, 'lines'), 0, 500)).toBe(true);
  });

  it('draws a seam with shape as it runs', () => {
    const shape = [
      { alongMm: 0, offMm: 0 },
      { alongMm: 600, offMm: 90 },
      { alongMm: 1300, offMm: 20 },
    ];
    const layout = {
      kind: 'split' as const,
      seams: 'vertical' as const,
      joints: [
        {
          id: 's1',
          kind: 'lap' as const,
          atMm: 1330,
          shape,
          firstMm: 15,
          secondMm: 10,
          top: 'second' as const,
        },
      ],
      parts: [
        { kind: 'panel' as const, id: 'p1' },
        { kind: 'panel' as const, id: 'p2' },
      ],
    };
    const guide = guideOf(jobOf({ layout }));
    expect(has(placesOf(guide, 'seams'), 1420, 600)).toBe(true);
    expect(has(placesOf(guide, 'panels'), 1420, 600)).toBe(true);
  });

  it('has inches where the job does', () => {
    const inches = guideOf({ ...jobOf(), displayUnit: 'in' });
    const zones = placesOf(inches, 'lettering');
    expect(has(zones, 1320 - 25.4, 0) && has(zones, 50.8, 50.8)).toBe(true);
  });

  it('is strokes in one spot ink on pages with the boxes of the side, without a font', async () => {
    const guide = guideOf(jobOf());
    const bytes = await guidePdf([guide], facts);
    const doc = await PDFDocument.load(bytes);
    const page = doc.getPage(0);
    const mm = 72 / 25.4;
    const [trim, bleed] = [page.getTrimBox(), page.getBleedBox()];
    expect([trim.width / mm, trim.height / mm].map((n) => n.toFixed(3))).toEqual(['310.000', '130.000']);
    expect([bleed.width / mm, bleed.height / mm].map((n) => n.toFixed(3))).toEqual(['322.600', '140.400']);
    expect([(trim.x - bleed.x) / mm, (trim.y - bleed.y) / mm].map((n) => n.toFixed(3))).toEqual([
      '7.400',
      '6.300',
    ]);
    const contents = page.node.Contents()!;
    const { decodePDFRawStream, PDFRawStream } = await import('pdf-lib');
    if (!(contents instanceof PDFRawStream)) throw new Error('one content stream');
    const operators = Buffer.from(decodePDFRawStream(contents).decode()).toString('latin1');
    expect(operators).toMatch(/\bS\n/);
    expect(operators).not.toMatch(/\b(?:f|F|B|b|sh|Tj|Do)\*?\n/);
    expect(page.node.Resources()!.keys().map(String).sort()).toEqual(['/ColorSpace', '/Properties']);
    expect(Buffer.from(bytes).equals(Buffer.from(await guidePdf([guide], facts)))).toBe(true);
  });

  it('is the same lines as SVG, nothing filled', () => {
    const guide = guideOf({ ...jobOf(), name: 'R & D <van>' });
    const svg = guideSvg(guide);
    expect(svg).toContain(`width="${Number(guide.page.widthMm.toFixed(3))}mm"`);
    expect(svg.match(/<g id="[^"]+"><title>/g)).toHaveLength(9);
    expect([...svg.matchAll(/fill="([^"]*)"/g)].map(([, value]) => value)).toEqual(['none']);
    expect(svg).not.toContain('<text');
    expect(svg).toContain('<title>Panel guide · SJ-7 · LH Left side · 1:10</title>');
  });

  it('writes a letter once as SVG, however often it comes', () => {
    const svg = guideSvg(guideOf(jobOf()));
    expect(svg.match(/<use /g)!.length).toBeGreaterThan(5 * svg.match(/<path id=/g)!.length);
    expect(svg.length).toBeLessThan(plainSvg(guideOf(jobOf())).length / 3);
  });

  it('GD3 is drawn as large as every side fits a page of 14,400 units', () => {
    const of = (width: number, height: number) => ({ outline: { width, height }, bleed: BLEED });
    expect(guideScale([of(4000, 2000)])).toBe(1);
    expect(guideScale([of(4000, 2000), of(7210, 2290)])).toBe(2);
    expect(guideScale([of(16_154, 2700)])).toBe(5);
    const { widthMm } = guidePage({ width: 16_154, height: 2700 }, BLEED, 5);
    expect(widthMm).toBeLessThan(MAX_PAGE_MM);
    expect(guidePage({ width: 16_154, height: 2700 }, BLEED, 2).widthMm).toBeGreaterThan(MAX_PAGE_MM);
  });
});

/** The guide as paths alone. */
function plainSvg({ page, layers }: PanelGuide): string {
  const paths = layers
    .flatMap(({ strokes }) => strokes)
    .map(({ steps, widthMm, dashMm = [] }) => {
      const d = steps.map(([kind, ...places]) => `${kind}${places.map((mm) => mm.toFixed(2)).join(' ')}`);
      return `<path stroke-width="${widthMm.toFixed(3)}" stroke-dasharray="${dashMm.join(' ')}" d="${d.join('')}"/>`;
    });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${page.widthMm}mm" height="${page.heightMm}mm" viewBox="0 0 ${page.widthMm} ${page.heightMm}" fill="none" stroke="#e6007e" stroke-linejoin="round">${paths.join('\n')}</svg>`;
}

describeWithTools(['chromium'], 'the panel guide as SVG, drawn', () => {
  it('looks as its lines do', async () => {
    const guide = guideOf(jobOf());
    const browser = await chromium.launch({ executablePath: CHROMIUM, args: CHROMIUM_ARGS });
    try {
      const page = await browser.newPage();
      const svgs = JSON.stringify([guideSvg(guide), plainSvg(guide)]);
      const { darkest, largest } = await page.evaluate<{ darkest: number; largest: number }>(
        `(${COMPARED})(${svgs})`,
      );
      expect(darkest).toBeGreaterThan(150);
      // Places are a hundredth of a millimeter: an edge may be a little darker.
      expect(largest).toBeLessThan(64);
    } finally {
      await browser.close();
    }
  });
});

/** Runs in the page: the opacity of the darkest pixel of the second, and the largest difference of the first from it. */
const COMPARED = `async (svgs) => {
  const [first, second] = await Promise.all(
    svgs.map(async (svg) => {
      const image = new Image();
      image.src = 'data:image/svg+xml,' + encodeURIComponent(svg);
      await image.decode();
      const context = new OffscreenCanvas(2400, 1200).getContext('2d');
      context.drawImage(image, 0, 0, 2400, 1200);
      return context.getImageData(0, 0, 2400, 1200).data;
    }),
  );
  let [darkest, largest] = [0, 0];
  for (let at = 3; at < second.length; at += 4) {
    darkest = Math.max(darkest, second[at]);
    largest = Math.max(largest, Math.abs(second[at] - first[at]));
  }
  return { darkest, largest };
}`;
