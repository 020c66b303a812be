import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { DrawMessage, DrawReply, DrawRequest, Renderer } from '../../../main/verify/draw-message.ts';
import { type DrawPort, drawingProcess, drawingThread } from '../../../main/verify/draw-port.ts';
import { DrawProcess } from '../../../main/verify/draw-process.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { isLong } from '../../support/series.ts';

const signal = new AbortController().signal;
let folder: string;
let path: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-draw-'));
  path = join(folder, 'page.pdf');
  writeFileSync(path, rawPdf({ page: '/MediaBox [10 20 70 60]', content: '1 0 0 rg 10 50 20 10 re f' }));
});
afterAll(() => rmSync(folder, { recursive: true }));

const request = (renderer: Renderer, over: Partial<DrawRequest> = {}): DrawRequest => ({
  renderer,
  path,
  page: 1,
  placement: { scale: 2, x0: 5, y0: 3 },
  size: { width: 60, height: 40 },
  userUnit: 1,
  longestPx: 120,
  isPanel: true,
  artworkBytes: 0,
  ...over,
});

/** A process that does what a test says. */
function standIn(
  onMessage: (message: DrawMessage, reply: (reply: DrawReply) => void) => void,
): () => DrawPort {
  return () => {
    let tell: (reply: DrawReply) => void = () => undefined;
    let leave: (how: string) => void = () => undefined;
    return {
      post: (message) => onMessage(message, (reply) => tell(reply)),
      onReply(listener) {
        tell = listener;
      },
      onExit(listener) {
        leave = listener;
      },
      kill: () => leave('killed'),
    };
  };
}

describe.each(['pdfium', 'pdfjs'] as const)('drawing for the verification by %s', (renderer) => {
  it('shows a page from its top left corner, moved and enlarged as asked', async () => {
    const drawing = new DrawProcess();
    const drawn = await drawing.picture(request(renderer), signal);
    await drawing.close();
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

  it('says why a file cannot be drawn, and goes on with the next', async () => {
    const drawing = new DrawProcess();
    const broken = join(folder, 'broken.pdf');
    writeFileSync(broken, 'no PDF at all');
    const failed = await drawing.picture(request(renderer, { path: broken }), signal);
    expect(failed).toMatchObject({ ok: false, trouble: expect.stringMatching(/PDF|opened/) });
    expect(await drawing.picture(request(renderer, { page: 9 }), signal)).toMatchObject({ ok: false });
    expect(await drawing.picture(request(renderer), signal)).toMatchObject({ ok: true });
    await drawing.close();
  });
});

describe('the drawing process', () => {
  it.skipIf(!isLong)('dies of a page that ends a renderer, and another one draws the next', async () => {
    // A table of a thousand million values, of which a renderer wants them all.
    const hostile = join(folder, 'hostile.pdf');
    writeFileSync(
      hostile,
      rawPdf({
        page: '/MediaBox [0 0 300 200]',
        content: '/S sh',
        resources:
          '/Shading << /S << /ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 300 0] /Function 20 0 R >> >>',
        objects: {
          20: {
            dict: '/FunctionType 0 /Domain [0 1] /Range [0 1 0 1 0 1] /Size [1000000000] /BitsPerSample 32',
            data: ' ',
          },
        },
      }),
    );
    const drawing = new DrawProcess();
    for (const renderer of ['pdfjs', 'pdfium'] as const) {
      await drawing.picture(request(renderer, { path: hostile }), signal);
      expect(await drawing.picture(request(renderer), signal)).toMatchObject({ ok: true });
    }
    await drawing.close();
  });

  it('draws on a thread where no process can be started', async () => {
    const drawing = new DrawProcess({}, drawingThread);
    expect(await drawing.picture(request('pdfium'), signal)).toMatchObject({ ok: true });
    await drawing.close();
  });

  it('is ended at a limit of work, and draws again after it', async () => {
    let beat: (reply: DrawReply) => void = () => undefined;
    let isBusy = true;
    const drawing = new DrawProcess(
      { cpuSeconds: 5, lookMs: 1 },
      standIn((message, reply) => {
        if (typeof message === 'string') return;
        if (!isBusy) return reply({ id: message.id, rgba: new Uint8Array(4) });
        beat = reply;
        beat({ cpuSeconds: 6, residentBytes: 0 });
      }),
    );
    expect(await drawing.picture(request('pdfium'), signal)).toEqual({
      ok: false,
      trouble: 'drawing takes more work than any artwork does',
    });
    isBusy = false;
    expect(await drawing.picture(request('pdfium'), signal)).toMatchObject({ ok: true });
  });

  it('is tried once more when it does nothing and says nothing, and then given up', async () => {
    let started = 0;
    const drawing = new DrawProcess({ idleLooks: 3, lookMs: 1 }, () => {
      started++;
      return standIn(() => undefined)();
    });
    expect(await drawing.picture(request('pdfium'), signal)).toEqual({
      ok: false,
      trouble: 'the drawing process gave no answer',
    });
    expect(started).toBe(2);
  });

  it('is not given up while it works, however long that takes', async () => {
    let looks = 0;
    const drawing = new DrawProcess(
      { idleLooks: 3, lookMs: 1 },
      standIn((message, reply) => {
        if (typeof message === 'string') return;
        const timer = setInterval(() => {
          reply({ cpuSeconds: ++looks / 10, residentBytes: 0 });
          if (looks < 40) return;
          clearInterval(timer);
          reply({ id: message.id, rgba: new Uint8Array(4) });
        }, 1);
      }),
    );
    expect(await drawing.picture(request('pdfium'), signal)).toMatchObject({ ok: true });
    expect(looks).toBe(40);
  });

  it('tells what it was that ended', async () => {
    const drawing = new DrawProcess({}, () => {
      const port = drawingProcess();
      return { ...port, post: () => port.kill() };
    });
    expect(await drawing.picture(request('pdfium'), signal)).toEqual({
      ok: false,
      trouble: 'the drawing process ended (SIGKILL)',
    });
  });

  it('serves the next verification where it drew all it was asked for', async () => {
    const pids: (number | undefined)[] = [];
    /** One verification, and what it drew. */
    const drawn = async (path?: string) => {
      const drawing = new DrawProcess({}, () => {
        const port = drawingProcess();
        pids.push(port.pid);
        return port;
      });
      const picture = await drawing.picture(request('pdfium', path === undefined ? {} : { path }), signal);
      await drawing.close();
      return picture;
    };
    const other = join(folder, 'changed.pdf');
    writeFileSync(other, rawPdf({ page: '/MediaBox [10 20 70 60]', content: '' }));
    const white = await drawn(other);
    copyFileSync(path, other);
    const red = await drawn(other);
    expect(red).toMatchObject({ ok: true });
    expect(red).not.toEqual(white);
    expect(await drawn(join(folder, 'nothing.pdf'))).toMatchObject({ ok: false });
    expect(await drawn()).toEqual(red);
    expect(pids).toEqual([pids[0], pids[0], pids[0], expect.any(Number)]);
    expect(pids[3]).not.toBe(pids[0]);
  });

  it('stops when it is cancelled', async () => {
    const drawing = new DrawProcess(
      {},
      standIn(() => undefined),
    );
    const abort = new AbortController();
    const drawn = drawing.picture(request('pdfium'), abort.signal);
    await Promise.resolve();
    abort.abort();
    await expect(drawn).rejects.toThrow(/abort/i);
  });
});
