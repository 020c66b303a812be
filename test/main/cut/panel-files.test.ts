import { mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { PanelCut } from '../../../core/cut/cut-request.ts';
import { artworkFromSource } from '../../../core/pdf/document/artwork.ts';
import { FileVault } from '../../../main/archive/vault.ts';
import { cutPanelFiles } from '../../../main/cut/panel-files.ts';
import { fileProblem } from '../../../main/files/file-problem.ts';
import { openPdfSource, pdfCodecs } from '../../../main/files/pdf-source.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { placeStaged, StagedFolder } from '../../../main/files/staged-folder.ts';
import { random } from '../../core/pdf/images/jpeg-made.ts';
import { BlockCounter } from '../../support/counted-blocks.ts';
import { resultValue, TEST_INFO } from '../../support/panel-check.ts';
import { rawPdf } from '../../support/raw-pdf.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
});
afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true, force: true });
});

/** A cancel is to be obeyed within 200 ms. A slow machine does 20 million of such blocks a second. */
const MOST_BLOCKS = 4_000_000;

/** In the midst of the walk through 150,000 marks. */
const LOOKS_BEFORE = 60;

const COLUMNS = 2400;
const ROWS = 1500;

let packedPicture: Uint8Array | undefined;

/** 10.8 MB that pack badly; packed once, as it takes a second. */
function pictureData(): Uint8Array {
  if (packedPicture) return packedPicture;
  const next = random(4);
  const samples = Uint8Array.from({ length: COLUMNS * ROWS * 3 }, () => Math.floor(next() * 200));
  packedPicture = deflateSync(samples, { level: 1 });
  return packedPicture;
}

/** A large picture under as many marks as asked for. */
function artPath(marks = 0): string {
  const paths = Array.from({ length: marks }, (_, i) => `q ${i % 700} ${i % 400} m 720 440 l S Q`);
  const pdf = rawPdf({
    page: '/MediaBox [0 0 720 450]',
    resources: '/XObject << /Photo 20 0 R >>',
    content: `q 720 0 0 450 0 0 cm /Photo Do Q\n${paths.join('\n')}`,
    objects: {
      20: {
        dict: `/Type /XObject /Subtype /Image /Width ${COLUMNS} /Height ${ROWS} /ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter /FlateDecode`,
        data: pictureData(),
      },
    },
  });
  const path = join(folder, 'art.pdf');
  writeFileSync(path, pdf);
  return path;
}

const mm = (points: number): number => (points * 25.4) / 72;

function panel(label: string, x: number, width: number) {
  const film = { x: 0, y: 0, width: mm(width), height: mm(450) };
  const cut: PanelCut = {
    page: 1,
    box: 'crop',
    window: { ...film, x: mm(x) },
    scale: 1,
    printed: film,
    net: film,
    filmWidthMm: film.width,
    filmHeightMm: film.height,
    size: { kind: 'true-size' },
    info: { ...TEST_INFO, title: label },
  };
  return { label, name: `panels/${label}.pdf`, cut };
}

const PANELS = [panel('LH-01', 0, 250), panel('LH-02', 240, 250), panel('LH-03', 470, 250)];

async function beginStaged(path: string) {
  const artwork = resultValue(await artworkFromSource(await openPdfSource(path), { codecs: pdfCodecs }));
  const out = join(folder, 'out');
  return { artwork, out, staged: await StagedFolder.begin(out) };
}

const DIGEST = 'ab'.repeat(32);

describe('panels cut into files', () => {
  it('are written, hashed on the way, with progress to the end', async () => {
    const { artwork, out, staged } = await beginStaged(artPath());
    const seen: number[] = [];
    const files = resultValue(
      await cutPanelFiles(artwork, DIGEST, PANELS, staged, {
        signal: new AbortController().signal,
        report: (done, total) => seen.push(done / total),
      }),
    );
    await staged.finish();
    expect(await placeStaged(staged.path, join(out, 'output-1'))).toBe(true);
    expect(seen.at(-1)).toBe(1);
    expect(seen.length).toBeGreaterThan(20);
    for (const { name, sha256, sizeBytes } of files) {
      const bytes = readFileSync(join(out, 'output-1', name));
      expect(sha256).toBe(sha256Hex(bytes));
      expect(sizeBytes).toBe(bytes.length);
    }
    expect(readdirSync(join(out, 'output-1', 'panels')).sort()).toEqual([
      'LH-01.pdf',
      'LH-02.pdf',
      'LH-03.pdf',
    ]);
  });

  it('whether to stop is looked at all along, with little work between two looks', async () => {
    const { artwork, staged } = await beginStaged(artPath(12_000));
    const { signal } = new AbortController();
    const work = new BlockCounter('core', 'main');
    const between: number[] = [];
    Object.defineProperty(signal, 'throwIfAborted', { value: () => between.push(work.taken()) });
    work.start();
    try {
      await cutPanelFiles(artwork, DIGEST, PANELS, staged, { signal, report: () => undefined });
      between.push(work.taken());
    } finally {
      work.end();
    }
    await staged.abandon();
    expect(between.length).toBeGreaterThan(60);
    expect(Math.max(...between)).toBeLessThan(MOST_BLOCKS);
  });

  for (const [when, marks] of [
    ['while a picture is cropped', 0],
    ['while content is walked', 150_000],
  ] as const) {
    it(`a cancel ${when} is obeyed at the next look, and nothing stays`, async () => {
      const path = artPath(marks);
      const source = await openPdfSource(path);
      const abort = new AbortController();
      let bytesReadAfter = 0;
      const watched = {
        size: source.size,
        read: (offset: number, length: number, memory?: Uint8Array) => {
          if (abort.signal.aborted) bytesReadAfter += length;
          return source.read(offset, length, memory);
        },
      };
      const artwork = resultValue(await artworkFromSource(watched, { codecs: pdfCodecs }));
      const out = join(folder, 'out');
      const staged = await StagedFolder.begin(out);
      let looks = 0;
      let looksAfter = 0;
      const look = abort.signal.throwIfAborted.bind(abort.signal);
      Object.defineProperty(abort.signal, 'throwIfAborted', {
        value: () => {
          if (abort.signal.aborted) looksAfter += 1;
          look();
          looks += 1;
          if (marks > 0 && looks === LOOKS_BEFORE) abort.abort();
        },
      });
      let reportsAfter = 0;
      const report = (done: number, total: number): void => {
        if (abort.signal.aborted) reportsAfter += 1;
        else if (marks === 0 && done > total / 5) abort.abort();
      };
      const failure = await cutPanelFiles(artwork, DIGEST, PANELS, staged, {
        signal: abort.signal,
        report,
      }).catch((error: unknown) => error);
      expect(fileProblem(failure, out)?.code).toBe('cancelled');
      expect([looksAfter, reportsAfter]).toEqual([1, 0]);
      // What was asked for already may still come.
      expect(bytesReadAfter).toBeLessThanOrEqual(2 << 20);
      await staged.abandon();
      expect(readdirSync(folder)).toEqual(['art.pdf']);
    });
  }

  it('a disk that fills up ends it with one sentence, and nothing stays', async () => {
    const { artwork, out, staged } = await beginStaged(artPath());
    const begin = staged.beginFile.bind(staged);
    let room = 2_000_000;
    staged.beginFile = async (name) => {
      const file = await begin(name);
      const write = file.write.bind(file);
      file.write = async (bytes) => {
        room -= bytes.length;
        if (room < 0) throw Object.assign(new Error('write'), { code: 'ENOSPC' });
        await write(bytes);
      };
      return file;
    };
    const tools = { signal: new AbortController().signal, report: () => undefined };
    const failure = await cutPanelFiles(artwork, DIGEST, PANELS, staged, tools).catch(
      (error: unknown) => error,
    );
    expect(fileProblem(failure, out)?.code).toBe('disk-full');
    await staged.abandon();
    expect(readdirSync(folder)).toEqual(['art.pdf']);
  });

  it('CUT4 a panel that does not fit a page is named, and nothing is written', async () => {
    const { artwork, staged } = await beginStaged(artPath());
    const wide = panel('LH-02', 0, 450);
    const film = {
      ...wide.cut.printed,
      width: wide.cut.printed.width * 40,
      height: wide.cut.printed.height * 40,
    };
    const large = {
      ...wide.cut,
      scale: 40,
      printed: film,
      net: film,
      filmWidthMm: film.width,
      filmHeightMm: film.height,
    };
    const tools = { signal: new AbortController().signal, report: () => undefined };
    const cut = await cutPanelFiles(artwork, DIGEST, [PANELS[0]!, { ...wide, cut: large }], staged, tools);
    expect(cut.ok ? '' : cut.problem.message).toMatch(/^Panel LH-02: The panel's film is \d+ × \d+ mm/);
    await staged.abandon();
  });

  it('an artwork that changes while it is in use is refused', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const path = artPath();
    const source = await openPdfSource(path);
    const before = await source.read(0, 8);
    expect(Buffer.from(before).toString()).toBe('%PDF-1.7');
    // A file without reads is closed after a while, and opened again at the next read.
    vi.advanceTimersByTime(2000);
    writeFileSync(path, 'something else');
    const failure = await source.read(0, 8).catch((error: unknown) => error);
    expect(fileProblem(failure, path)).toMatchObject({ code: 'file-changed' });
  });

  it('an artwork of the vault that another seat asks for meanwhile is the same', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const vault = new FileVault(join(folder, 'vault'));
    const { sha256 } = await vault.add(artPath());
    const source = await openPdfSource(await vault.path(sha256));
    const before = await source.read(0, 8);
    vi.advanceTimersByTime(2000);
    utimesSync(await vault.path(sha256), 1, 1);
    await vault.add(artPath());
    expect(await source.read(0, 8)).toEqual(before);
  });
});
