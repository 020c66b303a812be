import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFArray, PDFDict, PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import { afterAll, describe, expect, it } from 'vitest';
import { writeStrip } from '../../../../core/cut/strips/strip-document.ts';
import type { StripPage, StripPlacement } from '../../../../core/cut/strips/strip-page.ts';
import type { StripPanel } from '../../../../core/cut/strips/strip-panel.ts';
import { MemoryOutput } from '../../../../core/pdf/write/memory-output.ts';
import {
  type CutPanel,
  opened,
  pixelCut,
  resultValue,
  TEST_INFO,
  TOOLS,
} from '../../../support/panel-check.ts';
import { pdfiumPicture } from '../../../support/pdfium.ts';
import {
  colorCount,
  type Picture,
  pictureCropped,
  pictureDifference,
  pictureTurnedClockwise,
  pixelsBeyondEdges,
} from '../../../support/picture.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';
import { TRAP_PAGES } from '../../../support/trap-pages.ts';

const mm = (pixels: number): number => (pixels * 25.4) / 72;

/**
 * The places of the pieces on the strip, in pixels; the last one is turned. All numbers differ, so that no mix-up goes
 * unseen.
 */
const STANDS = [
  { x: 13, y: 4, turned: false },
  { x: 211, y: 9, turned: false },
  { x: 29, y: 283, turned: true },
] as const;
const STRIP = { width: 420, height: 560 };
const CUT_MARKS = [{ x: 0, y: mm(271), width: mm(STRIP.width), height: 0 }];

interface MadeStrip {
  readonly bytes: Uint8Array;
  readonly panels: readonly CutPanel[];
}

async function madeStrip(pdfs: readonly Uint8Array[], cutMarks = CUT_MARKS): Promise<MadeStrip> {
  const windows = [
    { x: 3, y: 5, width: 71, height: 97 },
    { x: 31, y: 17, width: 53, height: 61 },
    { x: 11, y: 23, width: 83, height: 59 },
  ];
  const panels: CutPanel[] = [];
  const onStrip: StripPanel[] = [];
  for (const [index, window] of windows.entries()) {
    const made = await pixelCut(pdfs[index % pdfs.length]!, { window });
    const { x, y, turned } = STANDS[index]!;
    const placement: StripPlacement = { panelId: `p${index}`, xMm: mm(x), yMm: mm(y), turned };
    panels.push(made);
    onStrip.push({
      label: `LH-0${index + 1}`,
      pdf: await opened(made.panel.bytes),
      sha256: '1'.repeat(64),
      widthMm: made.cut.filmWidthMm,
      heightMm: made.cut.filmHeightMm,
      placement,
    });
  }
  const page: StripPage = {
    filmWidthMm: mm(STRIP.width),
    filmHeightMm: mm(STRIP.height),
    placements: onStrip.map(({ placement }) => placement),
    cutMarks,
    size: { kind: 'true-size' },
  };
  const output = new MemoryOutput();
  resultValue(await writeStrip(page, onStrip, TEST_INFO, output, TOOLS));
  return { bytes: output.bytes(), panels };
}

/** Each panel rendered alone, and its place on the rendered strip. */
async function pairs({
  bytes,
  panels,
}: MadeStrip): Promise<{ alone: Picture; onStrip: Picture; turned: boolean }[]> {
  const strip = await pdfiumPicture(bytes);
  expect([strip.width, strip.height]).toEqual([STRIP.width, STRIP.height]);
  return Promise.all(
    panels.map(async ({ panel }, index) => {
      const { x, y, turned } = STANDS[index]!;
      const upright = await pdfiumPicture(panel.bytes);
      const alone = turned ? pictureTurnedClockwise(upright) : upright;
      const onStrip = pictureCropped(strip, { x, y, width: alone.width, height: alone.height });
      return { alone, onStrip, turned };
    }),
  );
}

const traps = TRAP_PAGES.filter(({ unfit, windows }) => !unfit?.includes('pdfium') && windows.length > 0);

describe('a panel on a strip looks like the panel alone, by PDFium', () => {
  for (const { name, clause, pdf, edge = 1 } of traps) {
    it(`${name} (ISO 32000-1, ${clause})`, async () => {
      for (const { alone, onStrip, turned } of await pairs(await madeStrip([pdf]))) {
        const { largest, compared } = pictureDifference(alone, onStrip, { edge });
        // PDFium samples pixels and thin lines along other rows when turned: single pixels at edges within the art.
        if (turned)
          expect(pixelsBeyondEdges(alone, onStrip, { edge, tolerance: 24 }) / compared).toBeLessThan(0.002);
        else expect(largest).toBeLessThanOrEqual(1);
      }
    });
  }

  it('a turned panel has its top edge to the right', async () => {
    const patterns = TRAP_PAGES.find(({ name }) => name === 'patterns and shadings')!.pdf;
    const { alone, onStrip } = (await pairs(await madeStrip([patterns]))).find(({ turned }) => turned)!;
    expect(colorCount(alone)).toBeGreaterThan(3);
    const wrongWay = pictureTurnedClockwise(pictureTurnedClockwise(alone));
    const share = (a: Picture) => {
      const { differing, compared } = pictureDifference(a, onStrip, { tolerance: 8 });
      return differing / compared;
    };
    expect(share(alone)).toBeLessThan(0.03);
    expect(share(wrongWay)).toBeGreaterThan(0.1);
  });
});

describe('the structure of a strip', () => {
  const layered = TRAP_PAGES.find(({ name }) => /layer/i.test(name))!.pdf;

  it('holds each layer of the artwork once, and marks to cut along in the black plate and the marks layer', async () => {
    const one = await pixelCut(layered, { window: { x: 3, y: 5, width: 71, height: 97 } });
    const groupsOf = async (pdf: Uint8Array): Promise<PDFDict[]> => {
      const document = await PDFDocument.load(pdf, { updateMetadata: false });
      const properties = document.catalog.lookup(PDFName.of('OCProperties'), PDFDict);
      return properties
        .lookup(PDFName.of('OCGs'), PDFArray)
        .asArray()
        .map((ref) => document.context.lookup(ref, PDFDict));
    };
    const names = (groups: readonly PDFDict[]) =>
      groups.map((group) => String(group.get(PDFName.of('Name'))));
    const { bytes } = await madeStrip([layered]);
    const groups = await groupsOf(bytes);
    expect(groups).toHaveLength((await groupsOf(one.panel.bytes)).length + 1);
    expect(new Set(names(groups)).size).toBe(groups.length);
    const document = await PDFDocument.load(bytes, { updateMetadata: false });
    const all = document.context.enumerateIndirectObjects().map(([, object]) => object);
    const ocgs = all.filter(
      (object) => object instanceof PDFDict && object.get(PDFName.Type) === PDFName.of('OCG'),
    );
    expect(ocgs).toHaveLength(groups.length);
    const contents = document.getPage(0).node.lookup(PDFName.Contents);
    if (!(contents instanceof PDFRawStream)) throw new Error('no contents');
  });

  it('refuses panels whose pages blend in different ways', async () => {
    const plain = TRAP_PAGES.find(({ name }) => name === 'patterns and shadings')!.pdf;
    const grouped = TRAP_PAGES.find(({ name }) => /group/i.test(name))!.pdf;
    await expect(madeStrip([plain, grouped])).rejects.toThrow(/strip-groups-differ: LH-01 and LH-02/);
  });

  it('the same panels give the same bytes', async () => {
    const [first, second] = [await madeStrip([layered]), await madeStrip([layered])];
    expect(Buffer.from(first.bytes).equals(second.bytes)).toBe(true);
  });
});

describeWithTools(['qpdf'], 'strips by qpdf', () => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-strip-'));
  afterAll(() => rmSync(folder, { recursive: true }));

  it('every strip is a sound file', async () => {
    for (const [index, { pdf }] of traps.slice(0, 8).entries()) {
      const path = join(folder, `${index}.pdf`);
      writeFileSync(path, (await madeStrip([pdf])).bytes);
      expect(runTool('qpdf', ['--check', path]).toString()).toContain('No syntax or stream encoding errors');
    }
  });
});
