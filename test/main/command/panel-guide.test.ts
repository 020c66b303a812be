import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cmyk, PDFArray, PDFDict, PDFDocument, PDFName } from 'pdf-lib';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Finding } from '../../../core/findings/finding.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

const BLEED = { top: 41, right: 52, bottom: 63, left: 74 };

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-guide-'));
  const [{ page: _, ...side }] = smallJob().sides as [Job['sides'][0]];
  writeFileSync(at('job.json'), jobToJson(smallJob({ sides: [{ ...side, bleed: BLEED }] })));
});
afterEach(() => rmSync(folder, { recursive: true }));

const written = () => at('out', 'SJ-7', 'guide-1', 'SJ-7_guide.pdf');

/** Artwork over the guide, out to its bleed, as a program leaves it. */
async function drawnOver(change: (doc: PDFDocument) => void = () => {}): Promise<void> {
  const doc = await PDFDocument.load(readFileSync(written()));
  const page = doc.getPage(0);
  const { x, y, width, height } = page.getBleedBox();
  change(doc);
  page.drawRectangle({ x, y, width, height, color: cmyk(0.6, 0.2, 0, 0.1) });
  writeFileSync(at('art.pdf'), await doc.save());
}

async function placed(): Promise<{ job: Job; said: string }> {
  const { code, out, err } = await run('import', at('art.pdf'), '--job', at('job.json'));
  expect([code, err]).toEqual([EXIT.done, '']);
  return { job: JSON.parse(readFileSync(at('job.json'), 'utf8')) as Job, said: out };
}

async function codes(): Promise<string[]> {
  const checked = await run('--json', 'check', at('job.json'));
  return (JSON.parse(checked.out) as { findings: Finding[] }).findings.map(({ code }) => code);
}

/** Where the side should lie on its page, in drawn mm from the corner of the page, at 1:10. */
const finishedAt = (job: Job) => {
  const { xMm, yMm, widthMm, heightMm } = job.sides[0]!.artworkRect;
  return [xMm, yMm, widthMm, heightMm].map((mm) => Number(mm.toFixed(2)));
};

describeWithTools(['qpdf'], 'a panel guide that comes back as artwork', () => {
  it('GD3 is drawn as asked, and refused where no page holds it', async () => {
    const guide = await run('guide', at('job.json'), '--to', at('out'), '--scale', '1:10', '--svg');
    expect([guide.code, guide.err]).toEqual([EXIT.done, '']);
    expect(guide.out).toContain('The panel guide is drawn at 1:10.');
    expect(readdirSync(at('out', 'SJ-7', 'guide-1')).sort()).toEqual(['SJ-7_LH_guide.svg', 'SJ-7_guide.pdf']);
    const long = smallJob({ scale: 20 });
    writeFileSync(at('long.json'), jobToJson(long));
    const refused = await run('guide', at('long.json'), '--to', at('out'), '--scale', '1');
    expect(refused.code).not.toBe(EXIT.done);
    expect(refused.err).toContain('Ask for 1:2 or smaller.');
    expect(runTool('qpdf', ['--check', written()]).toString()).toContain(
      'No syntax or stream encoding errors',
    );
  });

  it('is placed by its trim box, by the bleed alone, by the page of the guide', async () => {
    await run('guide', at('job.json'), '--to', at('out'), '--scale', '10');
    await drawnOver();
    const { job, said } = await placed();
    expect(said).toContain('It was placed on 1 side.');
    expect([job.scale, job.sides[0]!.page]).toEqual([10, 1]);
    const side = finishedAt(job);
    expect(side.slice(2)).toEqual([310, 130]);

    const blank = readFileSync(at('job.json'), 'utf8');
    const unplaced = (JSON.parse(blank) as Job).sides.map(({ page: _, ...rest }) => rest);
    const again = (pages: Job) => {
      const { artwork: _, ...rest } = pages;
      writeFileSync(at('job.json'), jobToJson({ ...rest, sides: unplaced }));
    };
    // The page of the guide, whose boxes were lost.
    again(job);
    await drawnOver((doc) => {
      for (const box of ['TrimBox', 'BleedBox']) doc.getPage(0).node.delete(PDFName.of(box));
    });
    const whole = await placed();
    expect(whole.job.sides[0]!.page).toBe(1);
    expect(finishedAt(whole.job)).toEqual(side);
    // Cut to the bleed, as large as 3,226 × 1,404 mm.
    again(job);
    await drawnOver((doc) => {
      const page = doc.getPage(0);
      const { x, y, width, height } = page.getBleedBox();
      page.setMediaBox(x, y, width, height);
      for (const box of ['TrimBox', 'BleedBox']) page.node.delete(PDFName.of(box));
    });
    const cut = await placed();
    expect(finishedAt(cut.job)).toEqual([7.4, 4.1, 310, 130]);
    expect(cut.said).not.toContain('keeps its size');
  });

  it('GD4 warns while the guide is on, and is silent once it is hidden or gone', async () => {
    await run('guide', at('job.json'), '--to', at('out'), '--scale', '10');
    await drawnOver();
    await placed();
    expect(await codes()).toContain('guide-left-on');
    // Hidden: every layer off as the file opens.
    await drawnOver((doc) => {
      const properties = doc.catalog.lookup(PDFName.of('OCProperties'), PDFDict);
      const states = properties.lookup(PDFName.of('D'), PDFDict);
      states.set(PDFName.of('OFF'), properties.lookup(PDFName.of('OCGs'), PDFArray));
      states.delete(PDFName.of('ON'));
    });
    await placed();
    const hidden = await codes();
    expect(hidden).not.toContain('guide-left-on');
    expect(hidden).toContain('layer-off');
  });

  it('GD4 knows the guide by its layers where its ink was turned into others', async () => {
    await run('guide', at('job.json'), '--to', at('out'), '--scale', '10');
    await drawnOver((doc) => {
      const spaces = doc.getPage(0).node.Resources()!.lookup(PDFName.of('ColorSpace'), PDFDict);
      const ink = spaces.lookup(PDFName.of('Ink'), PDFArray);
      ink.set(1, PDFName.of('Deep Pink'));
    });
    await placed();
    expect(await codes()).toContain('guide-left-on');
  });
});
