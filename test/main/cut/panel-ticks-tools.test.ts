import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { cutPanels } from '../../../core/cut/cut.ts';
import { panelCutFromLayout } from '../../../core/cut/panel-cut.ts';
import { fontLibraryFromFiles } from '../../../core/drawing/font-library.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { MemoryOutput } from '../../../core/pdf/write/memory-output.ts';
import { cutTools } from '../../../main/cut/panel-files.ts';
import { sheetFontFiles } from '../../../main/files/fonts.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

const folder = mkdtempSync(join(tmpdir(), 'panelwright-ticks-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** Lines of a page as MuPDF strokes them, in mm from the left: how wide, and the dashes where there are some. */
function uprightLines(file: string) {
  const trace = runTool('mutool', ['trace', file]).toString('utf8');
  const found = trace.matchAll(
    /<stroke_path ([^>]*)>\s*<moveto x="([\d.]+)" y="[\d.]+"\/>\s*<lineto x="([\d.]+)" y="[\d.]+"\/>\s*<\/stroke_path>/g,
  );
  return [...found].flatMap(([, stroke, from, to]) => {
    const scale = Number(/transform="([\d.]+) 0 0 /.exec(stroke!)?.[1]);
    const mm = (text: string) => (Number(text) * scale * 25.4) / 72;
    const widthMm = mm(/linewidth="([\d.]+)"/.exec(stroke!)![1]!);
    return from === to ? [{ widthMm, isDashed: / dash="/.test(stroke!), atMm: mm(from!) }] : [];
  });
}

describeWithTools(['mutool'], 'ticks of a written panel, read by MuPDF', () => {
  it('MK5 are 0.7 mm wide and stand on the seam: solid where the panel is trimmed, dashed to where it is covered', async () => {
    const job = smallJob();
    const opened = await artworkFromBytes(await smallArtwork(), { codecs: pdfCodecs });
    if (!opened.ok) throw new Error(opened.problem.message);
    const fonts = fontLibraryFromFiles(sheetFontFiles());
    const layout = jobLayout(job)[0]!;
    const cuts = layout.panels.map((panel) =>
      panelCutFromLayout(job, layout, panel, { program: 'Panelwright test', shown: '5f3a90c1', fonts }),
    );
    const outputs = cuts.map(() => new MemoryOutput());
    const tools = cutTools('0'.repeat(64), { signal: new AbortController().signal, report: () => undefined });
    const done = await cutPanels(opened.value, cuts, outputs, tools);
    if (!done.ok) throw new Error(done.problem.message);

    // The seam is at 1330; each film begins a border before its image, which begins 50 before the outline or 10 before the seam.
    const border = job.output.borderMm;
    const ends = { p1: border + 50 + 1330, p2: border + 10 };
    for (const [index, { id }] of layout.panels.entries()) {
      const file = join(folder, `${id}.pdf`);
      writeFileSync(file, outputs[index]!.bytes());
      const at = ends[id as keyof typeof ends];
      const ticks = uprightLines(file).filter(({ atMm }) => Math.abs(atMm - at) < 0.01);
      expect(ticks.length, id).toBeGreaterThan(0);
      for (const { widthMm, isDashed } of ticks) {
        expect(widthMm).toBeCloseTo(0.7, 3);
        // The right panel lies on top and is trimmed; the left one is covered to there.
        expect(isDashed).toBe(id === 'p1');
      }
    }
  });
});
