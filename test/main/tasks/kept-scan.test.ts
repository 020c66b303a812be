import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument, PDFName } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { ArtworkScan } from '../../../core/checks/scan/schema.ts';
import { smallArtwork } from '../../support/small-job.ts';

let folder: string;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
  writeFileSync(join(folder, 'art.pdf'), await smallArtwork(2));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const archiveFolder = (): string => join(folder, 'archive');

/** The artwork looked through by a program that has just started, and how many pages it had to read for that. */
async function newSession(): Promise<{ readonly scan: ArtworkScan; readonly pagesRead: number }> {
  vi.resetModules();
  const { TASKS } = await import('../../../main/tasks/tasks.ts');
  let pagesRead = 0;
  const facts = await TASKS.artworkFacts(
    { path: join(folder, 'art.pdf'), fileName: 'art.pdf', box: 'crop', archiveFolder: archiveFolder() },
    {
      signal: new AbortController().signal,
      report: ({ what }) => {
        if (what.startsWith('Checking page')) pagesRead += 1;
      },
    },
  );
  if (!facts.ok) throw new Error(facts.problem.message);
  return { scan: facts.value.scan!, pagesRead };
}

const keptFile = (ending = 'scan.json'): string => {
  const kept = readdirSync(archiveFolder(), { recursive: true, encoding: 'utf8' });
  return join(archiveFolder(), kept.find((name) => name.endsWith(ending))!);
};

describe('what an artwork holds', () => {
  it('is looked through once for all sessions, and the same each time', async () => {
    const first = await newSession();
    const second = await newSession();
    expect([first.pagesRead, second.pagesRead]).toEqual([2, 0]);
    expect(second.scan).toEqual(first.scan);
  });

  it('is looked through again where the artwork is another, or what was kept is damaged or of another program', async () => {
    await newSession();
    writeFileSync(keptFile(), '{"by":"0.0.1 0","scan":{}}');
    expect((await newSession()).pagesRead).toBe(2);
    writeFileSync(keptFile(), 'half of');
    expect((await newSession()).pagesRead).toBe(2);
    writeFileSync(join(folder, 'art.pdf'), await smallArtwork(3));
    expect((await newSession()).pagesRead).toBe(3);
  });
});

describe('the content of an artwork', () => {
  /** The artwork opened by a program that has just started, and how many streams were unpacked to look at them. */
  async function opened(): Promise<{ readonly remarks: readonly string[]; readonly unpacked: number }> {
    vi.resetModules();
    const { pdfCodecs } = await import('../../../main/files/pdf-source.ts');
    const { TASKS } = await import('../../../main/tasks/tasks.ts');
    const unpacking = vi.spyOn(pdfCodecs, 'inflatePieces');
    const at = { path: join(folder, 'drawn.pdf'), fileName: 'drawn.pdf', box: 'crop' } as const;
    const facts = await TASKS.artworkFacts(
      { ...at, archiveFolder: archiveFolder(), isBrief: true },
      { signal: new AbortController().signal, report: () => undefined },
    );
    if (!facts.ok) throw new Error(facts.problem.message);
    return { remarks: facts.value.remarks.map(({ code }) => code), unpacked: unpacking.mock.calls.length };
  }

  async function drawn(content: string): Promise<void> {
    const pdf = await PDFDocument.create();
    const page = pdf.addPage([301, 203]);
    page.node.set(PDFName.Contents, pdf.context.register(pdf.context.flateStream(content)));
    writeFileSync(join(folder, 'drawn.pdf'), await pdf.save());
  }

  it('is unpacked once for all sessions, and what was odd about it is known afterwards', async () => {
    await drawn('q 1 0 0 rg 7 9 50 60 re f');
    const first = await opened();
    expect(first.unpacked).toBe(1);
    expect(first.remarks).toContain('page-unbalanced');
    expect(await opened()).toEqual({ ...first, unpacked: 0 });
  });

  it('is unpacked again where the artwork is another, or what was kept is damaged or of another program', async () => {
    await drawn('1 0 0 rg 7 9 50 60 re f');
    expect(await opened()).toMatchObject({ unpacked: 1, remarks: [] });
    for (const kept of ['{"by":"0.0.1 0","pages":[]}', '{"pages":1}', 'half of']) {
      writeFileSync(keptFile('contents.json'), kept);
      expect((await opened()).unpacked, kept).toBe(1);
    }
    await drawn('q 0 1 0 rg 7 9 50 60 re f');
    expect((await opened()).remarks).toContain('page-unbalanced');
  });
});
