import { getDocument, OPS, type PDFDocumentProxy } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, it } from 'vitest';
import { type PixelCut, pixelCut } from '../../support/panel-check.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';

const trap = (name: string): Uint8Array => TRAP_PAGES.find((page) => page.name === name)!.pdf;

/** The panel as pdf.js, a reader that shares nothing with the writer, understands it. */
async function panelRead(pdf: Uint8Array, asked: PixelCut): Promise<PDFDocumentProxy> {
  const { panel } = await pixelCut(pdf, asked);
  return getDocument({ data: panel.bytes.slice(), verbosity: 0 }).promise;
}

describe('CUT3 panels read back by pdf.js', () => {
  it('CUT3 the page is the film, to a millionth of a unit', async () => {
    const window = { x: 31, y: 17, width: 97, height: 71 };
    const document = await panelRead(trap('patterns and shadings'), { window, scale: 10 });
    const page = await document.getPage(1);
    expect(document.numPages).toBe(1);
    expect(page.rotate).toBe(0);
    expect(page.userUnit).toBe(1);
    const [left, bottom, right, top] = page.view;
    expect([left, bottom]).toEqual([0, 0]);
    expect(right).toBeCloseTo(10 * (7 + 97 + 3), 6);
    expect(top).toBeCloseTo(10 * (5 + 71 + 11), 6);
  });

  it('CUT4 beyond 14,400 units the page is counted in larger ones', async () => {
    const window = { x: 0, y: 0, width: 210, height: 130 };
    const document = await panelRead(trap('patterns and shadings'), {
      window,
      scale: 100,
      size: { kind: 'user-unit' },
    });
    const page = await document.getPage(1);
    // 220 × 100 = 22,000 pt wide: two to a unit.
    expect(page.userUnit).toBe(2);
    expect(page.view[2]).toBeCloseTo(11_000, 6);
    expect(page.view[3]).toBeCloseTo((146 * 100) / 2, 6);
  });

  it('layers are on and off as in the source, and the marks are on', async () => {
    const document = await panelRead(trap('layers of which all are off but one'), {
      marks: {
        layer: 'Marks',
        key: 'test',
        draw: (context) => ({ operators: '0 g 1 1 5 5 re f', resources: context.obj({}) }),
      },
    });
    const layers = await document.getOptionalContentConfig();
    const state: Record<string, boolean> = {};
    for (const [, group] of layers) {
      const { name, visible } = group as { name: string; visible: boolean };
      state[name] = visible;
    }
    expect(state).toEqual({ Art: true, Guides: false, Marks: true });
  });

  it('CUT1 every trap page is read to its end, with something painted', async () => {
    for (const { name, pdf } of TRAP_PAGES) {
      const page = await (await panelRead(pdf, {})).getPage(1);
      const { fnArray } = await page.getOperatorList();
      expect(fnArray.includes(OPS.paintFormXObjectBegin), name).toBe(true);
      expect(fnArray.length, name).toBeGreaterThan(4);
    }
  });
});
