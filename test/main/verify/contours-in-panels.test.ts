import { readFileSync } from 'node:fs';
import { decodePDFRawStream, PDFArray, PDFDict, PDFDocument, PDFName, type PDFRawStream } from 'pdf-lib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { inkPlates } from '../../support/ink-plates.ts';
import { smallJob } from '../../support/small-job.ts';
import { describeWithTools } from '../../support/tools.ts';
import { type OutputCopy, WrittenOutput } from './damaged-output.ts';

const { output } = smallJob();
let written: WrittenOutput;
let plain: WrittenOutput;

beforeAll(async () => {
  const size = { kind: 'reduction', factor: 4 } as const;
  written = await WrittenOutput.made(undefined, { output: { ...output, size, cutContours: true } });
  plain = await WrittenOutput.made(undefined, { output: { ...output, size } });
});
afterAll(() => {
  written.remove();
  plain.remove();
});

async function rewritten(
  copy: OutputCopy,
  change: (content: string) => string,
  form = 'Contours',
): Promise<void> {
  await copy.edit(0, ({ page, document }) => {
    const forms = page.lookup(PDFName.of('Resources'), PDFDict).lookup(PDFName.of('XObject'), PDFDict);
    const key = PDFName.of(form);
    const stream = forms.lookup(key) as PDFRawStream;
    const text = change(new TextDecoder('latin1').decode(decodePDFRawStream(stream).decode()));
    const {
      Filter: _,
      Length: __,
      ...rest
    } = Object.fromEntries(stream.dict.entries().map(([name, value]) => [name.decodeText(), value]));
    forms.set(key, document.context.register(document.context.stream(text, rest)));
  });
}

const faultsOf = async (copy: OutputCopy) => {
  const { faults } = await copy.verified();
  return [...new Set(faults.map(({ code }) => code))];
};

describe('cut contours in panel files', () => {
  test('CC2: each panel has them as a processing step, the manifest names their ink, and the panels are verified', async () => {
    const copy = written.copy();
    expect(copy.manifest.panels.map(({ contourInk }) => contourInk)).toEqual(['Cutting', 'Cutting']);
    const { catalog, context } = await PDFDocument.load(copy.bytes(0));
    const layers = catalog.lookup(PDFName.of('OCProperties'), PDFDict).lookup(PDFName.of('OCGs'), PDFArray);
    const steps = layers.asArray().flatMap((ref) => {
      const step = context.lookup(ref, PDFDict).lookupMaybe(PDFName.of('GTS_Metadata'), PDFDict);
      return step
        ? [['GTS_ProcStepsGroup', 'GTS_ProcStepsType'].map((key) => String(step.get(PDFName.of(key))))]
        : [];
    });
    expect(steps).toEqual([['/Structural', '/Cutting']]);
    const report = await copy.verified();
    expect(report.faults).toEqual([]);
    expect(report.state).toBe('verified');
  });

  test('CC2: a warning waits as long as they are asked for', () => {
    const { state } = written;
    const codes = (job: typeof state.job) =>
      jobFindings({ ...state, job }).flatMap(({ code, severity }) =>
        code === 'contours-in-panels' ? severity : [],
      );
    expect(codes(state.job)).toEqual(['warn']);
    expect(codes(plain.state.job)).toEqual([]);
  });

  test('CC2: lines that the manifest does not list, or that lie elsewhere, are refused', async () => {
    const unlisted = written.copy();
    for (const panel of unlisted.manifest.panels) delete panel.contourInk;
    expect(await faultsOf(unlisted)).toEqual(['contour-wrong']);
    const missing = plain.copy();
    missing.manifest.panels[0]!.contourInk = 'Cutting';
    expect(await faultsOf(missing)).toEqual(['contour-wrong']);
    const moved = written.copy();
    await rewritten(moved, (content) =>
      content.replace(/^(\S+) (\S+) ([ml])$/gm, (_, x, y, word) => `${Number(x) + 5} ${y} ${word}`),
    );
    expect(await faultsOf(moved)).toEqual(['contour-wrong']);
  });

  test('CC2: whatever else is painted among the contours is found', async () => {
    const copy = written.copy();
    await rewritten(copy, (content) => `${content}\n0 0 0 1 k 300 300 200 150 re f`);
    const codes = await faultsOf(copy);
    expect(codes).toContain('contour-wrong');
    expect(codes).toContain('art-added');
    expect(codes).toContain('picture-differs');
  });

  test('a hair among the marks that crosses the art is found without a picture', async () => {
    const copy = plain.copy();
    await rewritten(copy, (content) => `${content}\nq 0.3 w 0.7 G 300 200 m 300 900 l S Q`, 'Marks');
    expect(await faultsOf(copy)).toContain('art-added');
  });

  test('CC2: a difference of the art is found below them as without them', async () => {
    const copy = written.copy();
    await copy.edit(1, (parts) =>
      parts.editContent((content) => content.replace('0.12 0.03 0.3 0.05 k', '0.12 0.03 0.4 0.05 k')),
    );
    expect(await faultsOf(copy)).toContain('color-changed');
  });
});

describeWithTools(['gs'], 'cut contours in panel files, separated', () => {
  test('CC2: every ink of the artwork prints the same below the lines, which are on a plate of their own', () => {
    const panels = [0, 1].map((panel) => [plain.copy().path(panel), written.copy().path(panel)] as const);
    for (const [without, withLines] of panels) {
      const [expected, found] = [inkPlates(without, 40), inkPlates(withLines, 40)];
      expect([...found.keys()].toSorted()).toEqual([...expected.keys(), 'Cutting'].toSorted());
      const lines = found.get('Cutting')!;
      for (const [ink, samples] of expected) {
        const different = [...samples.keys()].filter((at) => found.get(ink)![at] !== samples[at]);
        expect(
          different.filter((at) => lines[at] !== 255),
          ink,
        ).toEqual([]);
        // Ghostscript rounds the edge of a picture elsewhere by what else is on the page.
        expect(different.length, ink).toBeLessThan(6);
      }
      expect(lines.some((sample) => sample < 128)).toBe(true);
      expect(readFileSync(withLines).length).toBeGreaterThan(readFileSync(without).length);
    }
  });
});
