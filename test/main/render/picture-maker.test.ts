import { once } from 'node:events';
import { mkdtempSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { isDrawnReduced } from '../../../core/preview/coarse-picture.ts';
import { PictureMaker, type PictureOutcome } from '../../../main/render/picture-maker.ts';
import {
  borrowedPictureThread,
  endSparePictureThread,
  startPictureThread,
} from '../../../main/render/picture-thread.ts';
import { ART_144_MB, flateArt } from '../../bench/cut/art.ts';
import { GRAY, writeLargeFile } from '../../support/large-pdf.ts';
import { pixelAt } from '../../support/picture.ts';
import { rawPdf } from '../../support/raw-pdf.ts';

const SLOW_MS = 60_000;
let folder: string;
const at = (name: string) => join(folder, name);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-picture-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const HOLE_BYTES = 1.3e9;

const colors = (outcome: PictureOutcome) => {
  if (!outcome.ok) return outcome.failure;
  const { width, height, rgba: data } = outcome.picture;
  const picture = { width, height, data };
  return [0.25, 0.75].map((x) => pixelAt(picture, Math.floor(x * width), height >> 1));
};

describe('pictures of large files', () => {
  it('come from a reduced copy where the file is too large for the preview', async () => {
    writeLargeFile(at('large.pdf'), HOLE_BYTES, GRAY);
    expect(isDrawnReduced({ sizeBytes: HOLE_BYTES })).toBe(true);
    const maker = new PictureMaker(at('large.pdf'));
    try {
      for (const widthPx of [90, 2000]) {
        expect(colors(await maker.wholePage(1, widthPx))).toEqual([
          [0, 0, 255],
          [250, 250, 250],
        ]);
      }
      const window = { xPt: 140, yPt: 50, widthPt: 20, heightPt: 20 };
      expect(colors(await maker.picture(1, window, 64))).toEqual([
        [0, 0, 255],
        [250, 250, 250],
      ]);
      renameSync(at('large.pdf'), at('moved.pdf'));
      maker.useFileAt(at('moved.pdf'));
      expect(colors(await maker.wholePage(1, 64))).toHaveLength(2);
      // Nothing of another page is known yet, so the file is read again.
      expect(await maker.wholePage(7, 90)).toEqual({ ok: false, failure: 'too-large' });
    } finally {
      await maker.close();
    }
  });

  it('come from the file itself where there is no copy', async () => {
    // Its picture has less data than its size says.
    writeLargeFile(at('damaged.pdf'), 30e6, GRAY.replace('/Height 50', '/Height 5000'));
    const maker = new PictureMaker(at('damaged.pdf'), { reduces: 'where-quicker' });
    try {
      expect(colors(await maker.wholePage(1, 90))).toHaveLength(2);
    } finally {
      await maker.close();
    }
  });

  it(
    'that are no longer wanted end at once, and their thread leaves by itself',
    async () => {
      flateArt(at('art.pdf'), ART_144_MB);
      const thread = startPictureThread({ isAhead: true });
      const left = new Promise<number>((resolve) => {
        thread.once('exit', resolve);
      });
      await once(thread, 'online');
      const maker = new PictureMaker(at('art.pdf'), { reduces: 'where-quicker', thread });
      const drawing = maker.wholePage(1, 1024);
      // In the midst of reading, not before it has begun.
      const { performance } = thread;
      const before = performance.eventLoopUtilization();
      await expect
        .poll(() => performance.eventLoopUtilization(before).active, { timeout: SLOW_MS })
        .toBeGreaterThan(300);
      await maker.close();
      expect(await drawing).toMatchObject({ ok: false });
      // A thread that is stopped from outside ends with 1.
      expect(await left).toBe(0);
    },
    SLOW_MS,
  );
});

describe('a picture that takes long', () => {
  /** Minutes of work: PDFium blends every pixel of it again and again. */
  const slow = () =>
    rawPdf({
      page: '/MediaBox [0 0 300 200]',
      resources: '/ExtGState << /Half << /ca 0.5 >> >>',
      content: `/Half gs ${'0.2 0.5 0.1 rg 0 0 300 200 re f '.repeat(3000)}`,
    });

  async function startedMaker() {
    writeFileSync(at('slow.pdf'), slow());
    const thread = startPictureThread();
    const left = new Promise<number>((resolve) => {
      thread.once('exit', resolve);
    });
    await once(thread, 'online');
    const maker = new PictureMaker(at('slow.pdf'), { thread });
    expect(await maker.wholePage(1, 3)).toMatchObject({ ok: true });
    return { maker, thread, left };
  }

  it(
    'is stopped in its midst',
    async () => {
      const { maker, thread, left } = await startedMaker();
      const drawing = maker.wholePage(1, 3000);
      const before = (await thread.cpuUsage()).user;
      await expect
        .poll(async () => (await thread.cpuUsage()).user - before, { timeout: SLOW_MS })
        .toBeGreaterThan(500_000);
      await maker.close();
      expect(await drawing).toMatchObject({ ok: false });
      expect(await left).toBe(1);
    },
    SLOW_MS,
  );
});

describe('a thread that waits for an artwork', () => {
  it('is replaced where it has gone meanwhile', async () => {
    writeFileSync(
      at('art.pdf'),
      rawPdf({ page: '/MediaBox [0 0 30 20]', content: '1 0 0 rg 0 0 30 20 re f' }),
    );
    const thread = startPictureThread();
    await thread.terminate();
    const maker = new PictureMaker(at('art.pdf'), { thread });
    try {
      expect(await maker.wholePage(1, 30)).toMatchObject({ ok: true, picture: { width: 30, height: 20 } });
    } finally {
      await maker.close();
    }
  });
});

describe('a thread that is lent', () => {
  const plain = (name: string, color: string) =>
    writeFileSync(at(name), rawPdf({ page: '/MediaBox [0 0 30 20]', content: `${color} rg 0 0 30 20 re f` }));
  afterEach(endSparePictureThread);

  it('keeps the small copies of a file for whoever draws the same file next, unless it has changed', async () => {
    const [width, height] = [1200, 800];
    const picture = (level: number) =>
      rawPdf({
        page: '/MediaBox [0 0 30 20]',
        content: 'q 6 0 0 4 5 8 cm /Photo Do Q',
        resources: '/XObject << /Photo 20 0 R >>',
        objects: {
          20: {
            dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /ColorSpace /DeviceGray /BitsPerComponent 8`,
            data: new Uint8Array(width * height).fill(level),
          },
        },
      });
    const drawn = async (reduces: 'where-shared' | 'where-needed') => {
      const maker = new PictureMaker(at('art.pdf'), { reduces, isLent: true });
      const outcome = await maker.wholePage(1, 30);
      await maker.close();
      return colors(outcome)[0]?.[0];
    };
    const written = new Date('2026-03-09T10:11:12Z');
    writeFileSync(at('art.pdf'), picture(40));
    utimesSync(at('art.pdf'), written, written);
    expect(await drawn('where-shared')).toBe(40);
    // As long and as old as before: that the file is not read again shows in what is drawn.
    writeFileSync(at('art.pdf'), picture(90));
    utimesSync(at('art.pdf'), written, written);
    expect(await drawn('where-needed')).toBe(90);
    expect(await drawn('where-shared')).toBe(40);
    utimesSync(at('art.pdf'), written, new Date('2026-03-09T10:11:17Z'));
    expect(await drawn('where-shared')).toBe(90);
  });

  it('draws the next file, whatever it drew before, and ends when it is told to', async () => {
    plain('red.pdf', '1 0 0');
    plain('blue.pdf', '0 0 1');
    const first = new PictureMaker(at('red.pdf'), { isLent: true });
    expect(colors(await first.wholePage(1, 30))[0]).toEqual([255, 0, 0]);
    await first.close();
    const thread = borrowedPictureThread()!;
    expect(thread.threadId).toBeGreaterThan(0);
    const second = new PictureMaker(at('blue.pdf'), { isLent: true, thread });
    expect(colors(await second.wholePage(1, 30))[0]).toEqual([0, 0, 255]);
    await second.close();
    const { threadId } = thread;
    const third = new PictureMaker(at('red.pdf'), { isLent: true });
    expect(colors(await third.wholePage(1, 30))[0]).toEqual([255, 0, 0]);
    expect(thread.threadId).toBe(threadId);
    await third.close();
    await endSparePictureThread();
    expect(thread.threadId).toBe(-1);
    expect(borrowedPictureThread()).toBeUndefined();
  });

  it('is none where its maker lends none', async () => {
    plain('red.pdf', '1 0 0');
    const own = new PictureMaker(at('red.pdf'));
    await own.wholePage(1, 30);
    await own.close();
    expect(borrowedPictureThread()).toBeUndefined();
  });
});
