import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RenderThread } from '../../../main/verify/render-thread.ts';
import { rawPdf } from '../../support/raw-pdf.ts';

const signal = new AbortController().signal;
const placement = { scale: 1, x0: 0, y0: 0 };
let folder: string;
let path: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-render-'));
  path = join(folder, 'page.pdf');
  writeFileSync(path, rawPdf({ page: '/MediaBox [10 20 70 60]', content: '1 0 0 rg 10 50 20 10 re f' }));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('drawing for the verification', () => {
  it('PF1 shows a page from its top left corner, moved and enlarged as asked', async () => {
    const thread = new RenderThread();
    const drawn = await thread.picture(
      { path, page: 1, placement: { scale: 2, x0: 5, y0: 3 }, size: { width: 60, height: 40 } },
      signal,
    );
    await thread.close();
    if (!drawn.ok) throw new Error(drawn.trouble);
    const pixel = (x: number, y: number) => [...drawn.rgba.subarray((y * 60 + x) * 4, (y * 60 + x) * 4 + 3)];
    expect(drawn.rgba).toHaveLength(60 * 40 * 4);
    expect(pixel(5, 3)).toEqual([255, 0, 0]);
    expect(pixel(44, 22)).toEqual([255, 0, 0]);
    for (const [x, y] of [
      [4, 3],
      [5, 2],
      [45, 22],
      [44, 23],
    ] as const) {
      expect(pixel(x, y)).toEqual([255, 255, 255]);
    }
  });

  it('PF11 ends at its time limit and draws again after it', async () => {
    const thread = new RenderThread(1);
    const size = { width: 60, height: 40 };
    const late = await thread.picture({ path, page: 1, placement, size }, signal);
    expect(late).toMatchObject({ ok: false, trouble: expect.stringMatching(/took longer/) });
    await thread.close();
    const patient = new RenderThread();
    expect(await patient.picture({ path, page: 1, placement, size }, signal)).toMatchObject({ ok: true });
    await patient.close();
  });

  it('PF11 says why a file cannot be drawn, and goes on with the next', async () => {
    const thread = new RenderThread();
    const broken = join(folder, 'broken.pdf');
    writeFileSync(broken, 'no PDF at all');
    const size = { width: 6, height: 4 };
    const failed = await thread.picture({ path: broken, page: 1, placement, size }, signal);
    expect(failed).toMatchObject({ ok: false, trouble: expect.stringMatching(/PDF/) });
    expect(await thread.picture({ path, page: 9, placement, size }, signal)).toMatchObject({ ok: false });
    expect(await thread.picture({ path, page: 1, placement, size }, signal)).toMatchObject({ ok: true });
    await thread.close();
  });

  it('PF11 stops when it is cancelled', async () => {
    const thread = new RenderThread();
    const abort = new AbortController();
    const size = { width: 6, height: 4 };
    const drawing = thread.picture({ path, page: 1, placement, size }, abort.signal);
    abort.abort();
    await expect(drawing).rejects.toThrow(/abort/i);
    await thread.close();
  });
});
