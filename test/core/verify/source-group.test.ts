import { describe, expect, it } from 'vitest';
import type { ManifestPanel } from '../../../core/output/manifest.ts';
import { differencePicture, picturesCompared } from '../../../core/verify/picture-comparison.ts';
import { type PixelWindow, SideGrid } from '../../../core/verify/side-grid.ts';
import { sourceGroups } from '../../../core/verify/source-group.ts';
import type { VerificationPicture } from '../../../core/verify/verification-picture.ts';

/** A panel of 400 × 300 mm whose printed area begins `xMm` along its side, cut from a 1:10 drawing. */
function panelAt(xMm: number, changes: Partial<ManifestPanel> = {}, offMm = 0): ManifestPanel {
  const printedBox = { xMm, yMm: -13, widthMm: 400, heightMm: 300 };
  const windowDrawnMm = { xMm: 21 + (xMm + offMm) / 10, yMm: 33.7, widthMm: 40, heightMm: 30 };
  return {
    file: `panels/P-${xMm}.pdf`,
    label: `P-${xMm}`,
    panelId: `id-${xMm}`,
    sideId: 'side',
    sideCode: 'P',
    installOrder: 1,
    finishedBox: printedBox,
    printedBox,
    filmBox: printedBox,
    source: { page: 1, box: 'crop', windowDrawnMm },
    shown: 'e'.repeat(64),
    scale: 10,
    enlargeBy: 1,
    notes: [],
    ...changes,
  };
}

/** One pixel is a millimeter. */
const GRID = new SideGrid(25.4);

describe('drawing the artwork for several panels at once', () => {
  it('shows all panels of a page in one picture that holds their windows', () => {
    const panels = [panelAt(0), panelAt(390), panelAt(780)];
    expect(sourceGroups(panels, GRID)).toEqual([
      { panels, window: { x: 0, y: -13, width: 1180, height: 300 } },
    ]);
  });

  it('draws another page, another box and another place by themselves', () => {
    const source = { page: 2, box: 'crop', windowDrawnMm: panelAt(390).source.windowDrawnMm } as const;
    const panels = [panelAt(0), panelAt(390, { source }), panelAt(780, {}, 0.5), panelAt(1170)];
    expect(sourceGroups(panels, GRID).map((group) => group.panels)).toEqual([
      [panels[0], panels[3]],
      [panels[1]],
      [panels[2]],
    ]);
  });

  it('keeps each picture within its pixels', () => {
    const panels = [0, 390, 780, 1170, 1560].map((x) => panelAt(x));
    const groups = sourceGroups(panels, GRID, 240_000);
    expect(groups.map(({ window }) => window.width)).toEqual([790, 790, 400]);
    expect(groups.flatMap((group) => group.panels)).toEqual(panels);
    expect(sourceGroups(panels, GRID, 1).map((group) => group.panels)).toEqual(panels.map((one) => [one]));
  });
});

/** Every pixel tells its own place. */
function placed(window: PixelWindow): VerificationPicture {
  const rgba = new Uint8Array(window.width * window.height * 4);
  for (let i = 0; i < window.width * window.height; i++) {
    rgba.set(
      [100 + window.x + (i % window.width), 50 + window.y + Math.floor(i / window.width), 7, 255],
      i * 4,
    );
  }
  return { window, rgba };
}

describe('a picture that shows more than the panel', () => {
  const whole = placed({ x: -9, y: 4, width: 71, height: 43 });
  const part = placed({ x: 17, y: 11, width: 31, height: 23 });

  it('is compared, and the difference drawn, where the panel lies', () => {
    expect(picturesCompared(whole, part, { x: 19, y: 13, width: 27, height: 19 }).largest).toBe(0);
    const same = differencePicture(whole, part);
    expect(same.window).toEqual(part.window);
    const at = (12 * 31 + 8) * 4;
    expect(same.rgba[at]).toBe(same.rgba[at + 1]);
    part.rgba[at] = 255;
    const red = differencePicture(whole, part).rgba;
    expect(red[at]! - red[at + 1]!).toBeGreaterThan(100);
    expect([...red.subarray(at + 4, at + 8)]).toEqual([...same.rgba.subarray(at + 4, at + 8)]);
  });
});
