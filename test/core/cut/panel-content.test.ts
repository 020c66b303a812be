import { deflateSync } from 'node:zlib';
import { describe, expect, it, vi } from 'vitest';
import { opened, pixelCut, resultValue, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { random } from '../pdf/images/jpeg-made.ts';

const [WIDTH, HEIGHT] = [2000, 300];
const PANELS = 20;
/** How far around its window a panel keeps objects, points. */
const SLACK = 2;
/** Of one panel, beside its content. */
const FRAME_BYTES = 1500;

interface Outline {
  readonly text: string;
  readonly from: number;
  readonly to: number;
}

/** A drawing of filled outlines, each in a color of its own that is set before it. */
function outlines(count: number): Outline[] {
  const next = random(3);
  const number = (value: number): string => value.toFixed(2);
  return Array.from({ length: count }, () => {
    const [x, y, radius] = [next() * WIDTH, next() * HEIGHT, 2 + 10 * next()];
    const ink = [next(), next(), next(), 0].map((value) => value.toFixed(3)).join(' ');
    const curves = Array.from({ length: 8 }, () => {
      const points = Array.from({ length: 3 }, () => [x + radius * (2 * next() - 1), y + radius * next()]);
      return `${points.flat().map(number).join(' ')} c`;
    });
    const text = `${ink} k\n${number(x)} ${number(y)} m\n${curves.join('\n')}\nh f\n`;
    return { text, from: x - radius, to: x + radius };
  });
}

const drawn = (content: string): Uint8Array =>
  rawPdf({
    page: `/MediaBox [0 0 ${WIDTH} ${HEIGHT}] /Contents 20 0 R`,
    objects: { 20: { dict: '/Filter /FlateDecode', data: deflateSync(Buffer.from(content, 'latin1')) } },
  });

describe('the content of panels', () => {
  const art = outlines(2500);
  const pdf = drawn(art.map(({ text }) => text).join(''));

  it('takes a tenth more, at the most, than the objects that each panel shows', async () => {
    const all = art.reduce((sum, { text }) => sum + text.length, 0);
    const width = WIDTH / PANELS;
    let needed = 0;
    let written = 0;
    for (let i = 0; i < PANELS; i += 1) {
      const window = { x: i * width, y: 0, width, height: HEIGHT };
      const { panel } = await pixelCut(pdf, { window });
      written += panel.bytes.length - FRAME_BYTES;
      for (const { text, from, to } of art) {
        if (to >= window.x - SLACK && from <= window.x + width + SLACK) needed += text.length;
      }
    }
    expect(written).toBeLessThan((1.1 * pdf.length * needed) / all);
  });

  it('is never held whole', async () => {
    const artwork = await opened(pdf);
    const holding = vi.spyOn(artwork.file, 'streamDecoded');
    const { cut } = await pixelCut(pdf, { window: { x: 300, y: 0, width: 200, height: HEIGHT } });
    expect(resultValue(await panelPdf(artwork, cut, TOOLS)).bytes.length).toBeLessThan(pdf.length / 4);
    expect(holding).not.toHaveBeenCalled();
  });
});
