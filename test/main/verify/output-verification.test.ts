import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PDFArray, PDFDict, PDFName } from 'pdf-lib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { VerificationReport } from '../../../core/verify/verification-report.ts';
import { WrittenOutput } from './damaged-output.ts';

let output: WrittenOutput;
beforeAll(async () => {
  output = await WrittenOutput.made();
});
afterAll(() => output.remove());

const codes = ({ faults }: VerificationReport): string[] =>
  [...new Set(faults.map(({ code }) => code))].sort();
const sentence = ({ faults }: VerificationReport, code: string): string =>
  faults.find((fault) => fault.code === code)?.message ?? `no fault ${code}`;
/** One pt of the small job's panels is this much finished film. */
const MM_PER_PT = 25.4 / 72;

describe('an output as it was cut', () => {
  it('PF5 PF6 is verified: every panel, every overlap, the whole side', async () => {
    const copy = output.copy();
    const report = await copy.verified();
    expect(report.faults).toEqual([]);
    expect(report.state).toBe('verified');
    expect(report.sides).toHaveLength(1);
    const [side] = report.sides;
    expect(side?.panels.map(({ label }) => label).sort()).toEqual(['LH-01', 'LH-02']);
    expect(side?.bands.map(({ panels }) => [...panels].sort())).toEqual([['LH-01', 'LH-02']]);
    expect(side?.coveredShare).toBe(1);
    for (const { picture } of [...side!.panels, ...side!.bands]) {
      expect(picture!.comparedPixels).toBeGreaterThan(1000);
      expect(picture!.differingShare).toBeLessThan(0.002);
      expect(picture!.mean).toBeLessThan(2);
    }
    const kept = VerificationReport.parse(
      JSON.parse(readFileSync(join(copy.folder, 'verification.json'), 'utf8')),
    );
    expect(kept).toEqual(report);
    expect(report.renderer).toMatch(/^PDFium and pdf\.js \d/);
  });

  it('may leave out what a panel does not show, and crop pictures', async () => {
    // The panels carry less than half of the photo each, and not the objects of the other.
    const [first, second] = [output.copy().bytes(0), output.copy().bytes(1)];
    const whole = readFileSync(output.artwork.path).length;
    expect(first.length + second.length).toBeLessThan(whole);
  });
});

describe('a damaged output', () => {
  it('shifted by 0.5 mm by its own matrix', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) =>
      parts.moveArt(([a, b, c, d, e, f]) => [a!, b!, c!, d!, e! + 0.5 / MM_PER_PT, f!]),
    );
    const report = await copy.verified();
    expect(report.state).toBe('failed');
    expect(codes(report)).toContain('panel-shifted');
    expect(sentence(report, 'panel-shifted')).toMatch(
      /^The art of LH-0\d lies 0\.5 mm to the right of where it should\.$/,
    );
  });

  it('shifted by 0.5 mm within what it paints', async () => {
    const copy = output.copy();
    // 0.5 mm finished is 0.05 mm on the drawing.
    const shift = 0.05 / MM_PER_PT;
    await copy.edit(1, (parts) => parts.editContent((content) => `1 0 0 1 0 ${-shift} cm ${content}`));
    const report = await copy.verified();
    expect(sentence(report, 'panel-shifted')).toMatch(
      /^An object on LH-0\d lies 0\.5 mm down of where it should\.$/,
    );
  });

  it('of the wrong size', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) =>
      parts.moveArt(([a, b, c, d, e, f]) => [a! * 1.02, b!, c!, d! * 1.02, e!, f!]),
    );
    const report = await copy.verified();
    expect(sentence(report, 'panel-scaled')).toMatch(/^The art of LH-0\d is 2\.0 % too large\.$/);
  });

  it('PF6 with a panel missing', async () => {
    const copy = output.copy();
    const { label } = copy.manifest.panels[1]!;
    rmSync(copy.path(1));
    const report = await copy.verified();
    expect(codes(report)).toEqual(['area-uncovered', 'panel-missing']);
    expect(sentence(report, 'panel-missing')).toContain(`The file of panel ${label}`);
    expect(report.sides[0]!.coveredShare).toBeLessThan(0.7);
  });

  it('with a panel that was never written', async () => {
    const copy = output.copy();
    const [gone] = copy.manifest.panels.splice(0, 1);
    rmSync(join(copy.folder, gone!.file));
    expect(codes(await copy.verified())).toEqual(['area-uncovered', 'panel-missing']);
    // Where only the other was asked for, nothing is missing.
    expect(codes(await copy.verified(new Set([copy.manifest.panels[0]!.panelId])))).toEqual([]);
  });

  it('with two panels swapped, though the manifest vouches for both files', async () => {
    const copy = output.copy();
    const [first, second] = [copy.bytes(0), copy.bytes(1)];
    const labels = copy.manifest.panels.map(({ label }) => label);
    copy.replace(0, second);
    copy.replace(1, first);
    const report = await copy.verified();
    expect(codes(report)).toContain('panels-swapped');
    const swapped = report.faults.filter(({ code }) => code === 'panels-swapped');
    expect(swapped.map(({ message }) => message)).toEqual([
      `The file of panel ${labels[0]} holds panel ${labels[1]}.`,
      `The file of panel ${labels[1]} holds panel ${labels[0]}.`,
    ]);
  });

  it('with a truncated file', async () => {
    const copy = output.copy();
    const bytes = copy.bytes(0);
    copy.replace(0, bytes.subarray(0, Math.round(bytes.length * 0.6)), false);
    const report = await copy.verified();
    expect(codes(report)).toEqual(expect.arrayContaining(['file-changed', 'file-damaged']));
  });

  it('with a changed file, and with a stranger among the panels', async () => {
    const copy = output.copy();
    copy.replace(1, Buffer.concat([copy.bytes(1), Buffer.from('\n% touched\n')]), false);
    writeFileSync(join(copy.folder, 'panels', 'old.pdf'), copy.bytes(0));
    expect(codes(await copy.verified())).toEqual(['file-changed', 'panel-unlisted']);
  });

  it('whose overprint is switched off', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) =>
      parts.resource('ExtGState', 'Over').set(PDFName.of('OP'), parts.document.context.obj(false)),
    );
    const report = await copy.verified();
    expect(codes(report)).toContain('overprint-lost');
    expect(report.faults.every(({ panels }) => panels[0] === copy.manifest.panels[0]!.label)).toBe(true);
  });

  it('whose overprint is no longer asked for', async () => {
    const copy = output.copy();
    await copy.edit(1, (parts) => parts.editContent((content) => content.replace('/Over gs', '')));
    expect(codes(await copy.verified())).toEqual(['overprint-lost']);
  });

  it('whose color was converted to RGB', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) =>
      parts.editContent((content) => content.replace('0.12 0.03 0.3 0.05 k', '0.83 0.92 0.67 rg')),
    );
    const report = await copy.verified();
    expect(sentence(report, 'color-changed')).toMatch(/DeviceRGB .* in the artwork it is .*DeviceCMYK/);
  });

  it('whose spot color would be mixed in another way', async () => {
    const copy = output.copy();
    await copy.edit(1, (parts) =>
      parts.tintTransform('Spot').set(PDFName.of('C1'), parts.document.context.obj([0, 0.84, 0.7, 0])),
    );
    const report = await copy.verified();
    expect(codes(report)).toEqual(['color-changed']);
    expect(sentence(report, 'color-changed')).toMatch(
      /^A color on LH-0\d \(Separation “Signal” 0\.8\) is not rendered as in the artwork\.$/,
    );
  });

  it('whose blending is lost', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) =>
      parts.resource('ExtGState', 'Blend').set(PDFName.of('BM'), PDFName.of('Normal')),
    );
    expect(codes(await copy.verified())).toContain('transparency-changed');
  });

  it('that lacks a white object, and has another more', async () => {
    const copy = output.copy();
    const white = '0 0 0 0 k 60 250 9 9 re f';
    await copy.edit(1, (parts) =>
      parts.editContent((content) => content.replace(/640 300 40 60 re\s+f/, 'n')),
    );
    await copy.edit(0, (parts) => parts.editContent((content) => `${content} ${white}`));
    const report = await copy.verified();
    const [first, second] = copy.manifest.panels.map(({ label }) => label);
    expect(report.faults.filter(({ code }) => code === 'art-lost')).toMatchObject([{ panels: [second] }]);
    expect(report.faults.filter(({ code }) => code === 'art-added')).toMatchObject([{ panels: [first] }]);
  });

  it('whose hidden layer prints', async () => {
    const copy = output.copy();
    await copy.edit(1, ({ document: { catalog, context } }) => {
      const state = catalog.lookup(PDFName.of('OCProperties'), PDFDict).lookup(PDFName.of('D'), PDFDict);
      expect(state.lookup(PDFName.of('OFF'), PDFArray).size()).toBe(1);
      state.set(PDFName.of('OFF'), context.obj([]));
    });
    const report = await copy.verified();
    expect(sentence(report, 'layer-state-changed')).toMatch(
      /the layer “Template” is on; in the artwork it is off\.$/,
    );
  });

  it('without its output intent', async () => {
    const copy = output.copy();
    await copy.edit(0, ({ document }) => document.catalog.delete(PDFName.of('OutputIntents')));
    expect(codes(await copy.verified())).toEqual(['output-intent-lost']);
  });

  it('with a wrong TrimBox', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) => {
      const { x, y, width, height } = parts.document.getPage(0).getTrimBox();
      parts.document.getPage(0).setTrimBox(x + 20, y, width - 20, height);
    });
    const report = await copy.verified();
    expect(codes(report)).toEqual(['box-wrong']);
    expect(sentence(report, 'box-wrong')).toMatch(
      /^The TrimBox of LH-0\d is [\d.]+ × [\d.]+ mm; the manifest says that the net area is/,
    );
  });

  it('PF5 painted over within the overlap: the picture differs, and so do the neighbors', async () => {
    const copy = output.copy();
    const { printedBox, filmBox } = copy.manifest.panels.find(({ printedBox: { xMm } }) => xMm > 1000)!;
    const index = copy.manifest.panels.findIndex((panel) => panel.printedBox === printedBox);
    const unitsPerMm = 1 / MM_PER_PT;
    const x = (printedBox.xMm - filmBox.xMm + 6) * unitsPerMm;
    await copy.edit(index, (parts) => parts.paintOver(`q 0 g ${x} 900 40 500 re f Q`));
    const report = await copy.verified();
    expect(codes(report)).toEqual(['art-added', 'band-differs', 'picture-differs']);
    const { at } = report.faults.find(({ code }) => code === 'picture-differs')!;
    expect(Math.abs(at!.xMm - (printedBox.xMm + 6))).toBeLessThan(8);
    expect(at!.heightMm).toBeGreaterThan(150);
    const { differencePicture } = report.sides[0]!.panels.find(
      ({ file }) => file === copy.manifest.panels[index]!.file,
    )!;
    expect(existsSync(join(copy.folder, differencePicture!))).toBe(true);
  });

  it('a hair painted over the art is found without a picture, by a line or a curve', async () => {
    const { printedBox, filmBox } = output.manifest.panels[0]!;
    const unitsPerMm = 1 / MM_PER_PT;
    const x = (printedBox.xMm - filmBox.xMm + 6) * unitsPerMm;
    // 0.3 mm of a pale gray.
    for (const over of [
      `q 0.85 w 0.7 G ${x} 900 m ${x} 1400 l S Q`,
      `q 0.85 w 0.7 G ${x} 900 m ${x} 950 ${x} 990 ${x} 1000 c S Q`,
    ]) {
      const copy = output.copy();
      await copy.edit(0, (parts) => parts.paintOver(over));
      expect(codes(await copy.verified())).toContain('art-added');
    }
  });

  it('tells nothing of the border, where the marks are', async () => {
    const copy = output.copy();
    await copy.edit(0, (parts) => parts.paintOver('q 0 g 1 1 30 30 re f Q'));
    expect(codes(await copy.verified())).toEqual([]);
  });
});

describe('an artwork that cannot be the one', () => {
  it('is told', async () => {
    const copy = output.copy();
    copy.manifest.artwork.sha256 = 'f'.repeat(64);
    expect(codes(await copy.verified())).toEqual(['artwork-changed']);
  });
});
