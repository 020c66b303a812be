import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import DxfParser, { type ILineEntity, type IPolylineEntity } from 'dxf-parser';
import { cmyk, PDFArray, PDFDict, PDFDocument, PDFName } from 'pdf-lib';
import { describe, expect, test } from 'vitest';
import { contourDxf } from '../../../core/exchange/contour-dxf.ts';
import { contourPdf, cuttingInk } from '../../../core/exchange/contour-pdf.ts';
import { contourSvg } from '../../../core/exchange/contour-svg.ts';
import { type Contours, panelContours, stripContours } from '../../../core/exchange/contours.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { filmProductions, jobProduction } from '../../../core/production/job-production.ts';
import { jobStrips } from '../../../core/production/job-strips.ts';
import { inkPlates } from '../../support/ink-plates.ts';
import { smallJob } from '../../support/small-job.ts';
import { describeWithTools } from '../../support/tools.ts';

const FACTS = {
  title: 'SJ-7 LH-01 cut contours',
  author: '',
  subject: 'Cut contours',
  date: '2026-03-09',
  sha256: 'f'.repeat(64),
};

/** A handle inside the first panel, a wheel arch that the lower edge of the side cuts. */
function jobWithOpenings(over: Partial<Job> = {}): Job {
  const job = smallJob(over);
  const area = (id: string, xMm: number, yMm: number, widthMm: number, heightMm: number) => ({
    id,
    name: id,
    rect: { xMm, yMm, widthMm, heightMm },
    kind: 'other' as const,
    clearanceMm: 0,
  });
  const noFilmAreas = [area('handle', 300, 400, 180, 60), area('arch', 700, 900, 400, 900)];
  return { ...job, sides: [{ ...job.sides[0]!, noFilmAreas }] };
}

/** The seam between the two panels runs along a slope. */
function slopedJob(): Job {
  const job = jobWithOpenings();
  const [side] = job.sides;
  const { layout } = side!;
  if (layout.kind !== 'split') throw new Error('two panels');
  const shape = [
    { alongMm: 0, offMm: -40 },
    { alongMm: 700, offMm: 10 },
    { alongMm: 1300, offMm: 90 },
  ];
  return { ...job, sides: [{ ...side!, layout: { ...layout, joints: [{ ...layout.joints[0]!, shape }] } }] };
}

function contoursOf(job: Job, at = 0): Contours {
  const [layout] = jobLayout(job);
  return panelContours(job, layout!, layout!.panels.toSorted((a, b) => a.net.x - b.net.x)[at]!, 'SJ-7_LH-01');
}

const box = (points: Contours['paths'][number]['points']) => {
  const [xs, ys] = [points.map(({ x }) => x), points.map(({ y }) => y)];
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
};

describe('cut contours', () => {
  test('CC1: the outline is what is installed, extensions and bleed included, without the border', () => {
    const job = jobWithOpenings();
    const panel = jobLayout(job)[0]!.panels.toSorted((a, b) => a.net.x - b.net.x)[0]!;
    const [outline] = contoursOf(job).paths;
    const { printed, film } = panel;
    expect(outline).toMatchObject({ kind: 'outline', isClosed: true });
    expect(box(outline!.points)).toEqual([
      printed.x - film.x,
      printed.y - film.y,
      printed.x + printed.width - film.x,
      printed.y + printed.height - film.y,
    ]);
  });

  test('CC1: an edge that slopes is cut along its slope', () => {
    const job = slopedJob();
    const [first, second] = [contoursOf(job, 0), contoursOf(job, 1)];
    expect(first.paths[0]!.points.length).toBeGreaterThan(4);
    const panel = jobLayout(job)[0]!.panels.toSorted((a, b) => a.net.x - b.net.x)[1]!;
    const onSide = second.paths[0]!.points.map(({ x, y }) => ({ x: x + panel.film.x, y: y + panel.film.y }));
    const joint = job.sides[0]!.layout.kind === 'split' ? job.sides[0]!.layout.joints[0]! : undefined;
    const bend = onSide.find(({ y }) => Math.abs(y - 700) < 0.01);
    expect(bend?.x).toBeCloseTo(joint!.atMm + 10 - joint!.secondMm, 2);
  });

  test('an opening within the panel is a closed line, and one that reaches past its edge an open one', () => {
    const { paths, heightMm } = contoursOf(jobWithOpenings());
    const openings = paths.filter(({ kind }) => kind === 'openings');
    expect(openings.map(({ isClosed }) => isClosed)).toEqual([true, false]);
    const [handle, arch] = openings;
    expect(box(handle!.points)[2]! - box(handle!.points)[0]!).toBeCloseTo(180);
    // Up one side of the arch, across and down the other; it ends on the outline, 30 mm from the film's edge.
    expect(arch!.points).toHaveLength(4);
    expect([arch!.points[0]!.y, arch!.points[3]!.y]).toEqual([heightMm - 30, heightMm - 30]);
  });

  test('the film of a mirrored file is cut from right to left', () => {
    const job = jobWithOpenings();
    const mirrored = { ...job, film: { ...job.film, mirror: 'file' as const } };
    const [plain, turned] = [contoursOf(job), contoursOf(mirrored)];
    const at = (contours: Contours) => box(contours.paths.find(({ kind }) => kind === 'openings')!.points);
    expect(at(turned)[0]).toBeCloseTo(plain.widthMm - at(plain)[2]!);
    expect(at(turned)[1]).toBe(at(plain)[1]);
  });

  test('a strip has the contours of its panels where they lie on it, and its own cuts', () => {
    const job = jobWithOpenings();
    const layouts = jobLayout(job);
    const [production] = filmProductions(jobProduction(job, layouts));
    const [strip] = jobStrips(job, production!);
    const { paths, widthMm, heightMm } = stripContours(job, layouts, strip!);
    const outlines = paths.filter(({ kind }) => kind === 'outline');
    expect(outlines).toHaveLength(2);
    for (const { points } of outlines) {
      const [left, top, right, bottom] = box(points);
      expect([left! >= 0, top! >= 0, right! <= widthMm, bottom! <= heightMm]).toEqual([
        true,
        true,
        true,
        true,
      ]);
    }
    const places = strip!.strip.bands.flatMap(({ panels }) => panels);
    const film = layouts[0]!.panels.find(({ id }) => places[0]!.item.panelId.endsWith(`/${id}`))!;
    const found = outlines.find(({ points }) => {
      const [left, top] = box(points);
      const { xMm, yMm } = places[0]!.place;
      return (
        Math.abs(left! - (xMm - strip!.roll.leftMarginMm + 30)) < 0.01 &&
        Math.abs(top! - (yMm - strip!.strip.startMm + 30)) < 0.01
      );
    });
    expect(film && found).toBeDefined();
    const cuts = paths.filter(({ kind }) => kind === 'strip-cuts');
    expect(cuts.map(({ points }) => points.length)).toEqual([2]);
  });

  test('a reader of others finds the same lines in the DXF, closed, in millimeters, y up', () => {
    const contours = contoursOf(slopedJob());
    const dxf = contourDxf(contours);
    expect(dxf.startsWith('999\r\nSJ-7 LH-01: all lengths are millimeters, y goes up\r\n')).toBe(true);
    expect(dxf.replaceAll('\r\n', '')).not.toContain('\n');
    const read = new DxfParser().parseSync(dxf)!;
    expect(read.header.$ACADVER).toBe('AC1009');
    expect(Object.keys(read.tables.layer.layers)).toEqual(['OUTLINE', 'OPENINGS']);
    const lines = read.entities as (IPolylineEntity | ILineEntity)[];
    expect(lines.map(({ type, layer }) => [type, layer])).toEqual([
      ['POLYLINE', 'OUTLINE'],
      ['POLYLINE', 'OPENINGS'],
      ['POLYLINE', 'OPENINGS'],
    ]);
    expect(lines.map((line) => (line as IPolylineEntity).shape)).toEqual([true, true, false]);
    for (const [at, { points }] of contours.paths.entries()) {
      const { vertices } = lines[at]!;
      expect(vertices).toHaveLength(points.length);
      for (const [index, { x, y }] of points.entries()) {
        expect(vertices[index]!.x).toBeCloseTo(x, 5);
        expect(vertices[index]!.y).toBeCloseTo(contours.heightMm - y, 5);
      }
    }
  });

  test('a straight cut is a LINE', () => {
    const points = [
      { x: 0, y: 40 },
      { x: 1504, y: 40 },
    ];
    const contours: Contours = {
      ...contoursOf(smallJob()),
      paths: [{ kind: 'strip-cuts', points, isClosed: false }],
    };
    const [line] = new DxfParser().parseSync(contourDxf(contours))!.entities as ILineEntity[];
    expect(line).toMatchObject({ type: 'LINE', layer: 'STRIP_CUTS' });
    expect(line!.vertices[1]).toMatchObject({ x: 1504, y: contours.heightMm - 40 });
  });

  test('the SVG has the film’s size in millimeters and the same lines, y down', () => {
    const contours = contoursOf(jobWithOpenings());
    const svg = contourSvg(contours);
    expect(svg).toContain(`width="${contours.widthMm}mm" height="${contours.heightMm}mm"`);
    expect([...svg.matchAll(/<g id="([^"]*)"/g)].map(([, id]) => id)).toEqual(['outline', 'openings']);
    const paths = [...svg.matchAll(/ d="([^"]*)"/g)].map(([, d]) => d!);
    expect(paths.map((d) => d.endsWith('Z'))).toEqual([true, true, false]);
    const [first] = contours.paths[0]!.points;
    expect(paths[0]).toMatch(new RegExp(`^M${first!.x} ${first!.y} L`));
  });

  test('each layer of the PDF is a processing step, in an ink that the artwork does not use', async () => {
    expect(cuttingInk(['Signal Red', 'CUTTING', 'cutting 2'])).toBe('Cutting 3');
    const contours = contoursOf(jobWithOpenings());
    const document = await PDFDocument.load(await contourPdf(contours, 'Cutting', FACTS));
    const layers = document.catalog
      .lookup(PDFName.of('OCProperties'), PDFDict)
      .lookup(PDFName.of('OCGs'), PDFArray);
    const steps = layers.asArray().map((ref) => {
      const step = document.context.lookup(ref, PDFDict).lookup(PDFName.of('GTS_Metadata'), PDFDict);
      return ['GTS_ProcStepsGroup', 'GTS_ProcStepsType'].map((key) => String(step.get(PDFName.of(key))));
    });
    expect(steps).toEqual([
      ['/Structural', '/Cutting'],
      ['/Structural', '/Cutting'],
    ]);
    const { width, height } = document.getPage(0).getSize();
    expect([width, height].map((pt) => (pt * 25.4) / 72).map(Math.round)).toEqual(
      [contours.widthMm, contours.heightMm].map(Math.round),
    );
  });

  test('the PDF is as large as the file that it belongs to, reduced as that is', async () => {
    const contours = { ...contoursOf(smallJob()), size: { kind: 'reduction' as const, factor: 10 } };
    const document = await PDFDocument.load(await contourPdf(contours, 'Cutting', FACTS));
    expect(document.getPage(0).getSize().width).toBeCloseTo((contours.widthMm * 72) / 25.4 / 10, 2);
  });
});

describeWithTools(['gs'], 'cut contours, separated', () => {
  test('inks under the line stay as they are, and the line is on a plate of its own', async () => {
    const contours = { ...contoursOf(smallJob()), size: { kind: 'reduction' as const, factor: 10 } };
    const pdf = await contourPdf(contours, 'Cutting', FACTS);
    const plates = await platesOver(pdf);
    const withoutOverprint = await platesOver(await withoutStates(pdf));
    expect(plates.cyan).toEqual({ least: 60, most: 60 });
    expect(plates.magenta).toEqual({ least: 20, most: 20 });
    expect(plates.cutting.most).toBeGreaterThan(90);
    // The check sees a knockout where there is one.
    expect(withoutOverprint.cyan.least).toBe(0);
  });
});

/** The same contours without the graphics state that lets them overprint. */
async function withoutStates(pdf: Uint8Array): Promise<Uint8Array> {
  const document = await PDFDocument.load(pdf);
  const resources = document.getPage(0).node.lookup(PDFName.of('Resources'), PDFDict);
  resources.set(PDFName.of('ExtGState'), document.context.obj({ Over: {} }));
  return await document.save();
}

/** Ink in percent over a page of 60 % cyan and 20 % magenta with the contours on it, by plate. */
async function platesOver(pdf: Uint8Array) {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-plates-'));
  try {
    const document = await PDFDocument.create();
    const contours = await document.embedPage((await PDFDocument.load(pdf)).getPage(0));
    const page = document.addPage([contours.width, contours.height]);
    page.drawRectangle({
      x: 0,
      y: 0,
      width: contours.width,
      height: contours.height,
      color: cmyk(0.6, 0.2, 0, 0),
    });
    page.drawPage(contours);
    const path = join(folder, 'art.pdf');
    writeFileSync(path, await document.save());
    const plates = inkPlates(path);
    const plate = (name: string) => inkRange(plates.get(name)!);
    return { cyan: plate('Cyan'), magenta: plate('Magenta'), cutting: plate('Cutting') };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** In percent; 255 is bare film, 0 is full ink. */
function inkRange(samples: Uint8Array): { readonly least: number; readonly most: number } {
  const percent = (value: number) => Math.round(100 - (value * 100) / 255);
  let [least, most] = [255, 0];
  for (const value of samples) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return { least: percent(most), most: percent(least) };
}
