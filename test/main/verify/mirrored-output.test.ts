import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pdfiumPicture } from '../../support/pdfium.ts';
import type { Picture } from '../../support/picture.ts';
import { smallJob } from '../../support/small-job.ts';
import { WrittenOutput } from './damaged-output.ts';

let plain: WrittenOutput;
let mirrored: WrittenOutput;
beforeAll(async () => {
  const { film } = smallJob();
  plain = await WrittenOutput.made();
  mirrored = await WrittenOutput.made(undefined, { film: { ...film, base: 'clear', mirror: 'file' } });
});
afterAll(() => {
  plain.remove();
  mirrored.remove();
});

/** Mean difference of the colors of two pictures within the printed area, one of them read from right to left. */
function meanApart(one: Picture, other: Picture, border: number): number {
  let sum = 0;
  let count = 0;
  for (let y = border; y < one.height - border; y++) {
    for (let x = border; x < one.width - border; x++) {
      const a = (y * one.width + x) * 4;
      const b = (y * one.width + (one.width - 1 - x)) * 4;
      for (let c = 0; c < 3; c++) sum += Math.abs(one.data[a + c]! - other.data[b + c]!);
      count += 3;
    }
  }
  return sum / count;
}

describe('panel files of a film that is looked through', () => {
  it('show the artwork from right to left, by a renderer that knows nothing of them', async () => {
    for (const panel of [0, 1]) {
      const [one, other] = await Promise.all(
        [plain, mirrored].map((output) => pdfiumPicture(output.copy().bytes(panel), { ppi: 4 })),
      );
      const { filmBox, printedBox, enlargeBy } = plain.manifest.panels[panel]!;
      const borderMm = Math.max(printedBox.xMm - filmBox.xMm, printedBox.yMm - filmBox.yMm);
      const border = Math.ceil((borderMm / enlargeBy / 25.4) * 4) + 1;
      expect([other!.width, other!.height]).toEqual([one!.width, one!.height]);
      expect(meanApart(one!, other!, border)).toBeLessThan(3);
      // The small job is not the same from both sides.
      expect(meanApart(one!, one!, border)).toBeGreaterThan(10);
    }
  });

  it('are verified, with boxes, pictures and overlaps', async () => {
    const report = await mirrored.copy().verified();
    expect(report.faults).toEqual([]);
    expect(report.state).toBe('verified');
    expect(report.sides[0]!.coveredShare).toBe(1);
    expect(report.sides[0]!.bands).toHaveLength(1);
  });

  it('are refused where they are not mirrored after all, and others where they are', async () => {
    for (const [output, words] of [
      [mirrored, 'is not mirrored; the manifest says that it is'],
      [plain, 'is mirrored; the manifest says that it is not'],
    ] as const) {
      const copy = output.copy();
      const { widthMm } = copy.manifest.panels[0]!.filmBox;
      const pageWidth = widthMm / copy.manifest.panels[0]!.enlargeBy / (25.4 / 72);
      await copy.edit(0, (parts) =>
        parts.moveArt(([a, b, c, d, e, f]) => [-a!, b!, -c!, d!, pageWidth - e!, f!]),
      );
      const { state, faults } = await copy.verified();
      expect(state).toBe('failed');
      expect(faults.find(({ code }) => code === 'panel-mirrored')?.message).toContain(words);
    }
  });

  it('are refused where a panel is shifted within its mirrored page', async () => {
    const copy = mirrored.copy();
    await copy.edit(1, (parts) =>
      parts.moveArt(([a, b, c, d, e, f]) => [a!, b!, c!, d!, e! + 0.5 / (25.4 / 72), f!]),
    );
    const { faults } = await copy.verified();
    expect(faults.find(({ code }) => code === 'panel-shifted')?.message).toMatch(/lies 0\.5 mm to the right/);
  });
});
