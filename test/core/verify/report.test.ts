import { describe, expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { ManifestPanel } from '../../../core/output/manifest.ts';
import { coveredShare } from '../../../core/verify/covered-share.ts';
import { outputVerificationFromReport } from '../../../core/verify/output-verification.ts';
import { pictureNote, pictureVerdict } from '../../../core/verify/picture-verdict.ts';
import { panelHeld } from '../../../core/verify/swapped-panels.ts';
import { scaleText, shiftText, verificationFault } from '../../../core/verify/verification-fault.ts';
import type { VerificationReport } from '../../../core/verify/verification-report.ts';
import { smallJob } from '../../support/small-job.ts';

describe('coverage of a side', () => {
  const job = smallJob();
  const [layout] = jobLayout({
    ...job,
    sides: [
      {
        ...job.sides[0]!,
        noFilmAreas: [
          {
            id: 'w',
            name: 'Window',
            kind: 'window',
            rect: { xMm: 2000, yMm: 100, widthMm: 700, heightMm: 500 },
            clearanceMm: 0,
          },
        ],
      },
    ],
  });
  const nets = layout!.panels.map(({ net }) => net);

  it('PF6 is whole with all panels', () => {
    expect(coveredShare(layout!, nets)).toEqual({ share: 1, uncoveredMm2: 0 });
  });

  it('PF6 leaves openings out of the count, and tells what a gap leaves bare', () => {
    // 3,100 × 1,300 mm with a no-film area of 700 × 500; the left panel is 1,330 wide.
    const needed = 3100 * 1300 - 700 * 500;
    const left = nets.find(({ x }) => x === 0)!;
    const onlyLeft = coveredShare(layout!, [left]);
    expect(onlyLeft.share).toBeCloseTo((1330 * 1300) / needed, 12);
    expect(onlyLeft.uncoveredMm2).toBeCloseTo(needed - 1330 * 1300, 6);
    const narrow = coveredShare(
      layout!,
      nets.map((net) => (net.x === 0 ? { ...net, width: net.width - 4 } : net)),
    );
    expect(narrow.uncoveredMm2).toBeCloseTo(4 * 1300, 6);
  });
});

describe('telling panels apart', () => {
  const panel = (label: string, xMm: number, page = 1) =>
    ({
      label,
      file: `panels/${label}.pdf`,
      source: { page, box: 'crop', windowDrawnMm: { xMm, yMm: 3, widthMm: 138, heightMm: 131 } },
    }) as ManifestPanel;
  const [a, b, c] = [panel('LH-01', 0), panel('LH-02', 137), panel('RH-01', 137, 2)];
  const hashes = new Map([a, b, c].map(({ file, label }) => [file, `hash of ${label}`]));
  const windowOf = ({ source: { windowDrawnMm: w } }: ManifestPanel) => ({
    x: w.xMm,
    y: w.yMm,
    width: w.widthMm,
    height: w.heightMm,
  });

  it('by what they show, by their bytes, and not at all where they are their own or nobody’s', () => {
    const panels = [a, b, c];
    expect(panelHeld({ panel: a, sha256: 'any', window: windowOf(b) }, panels, hashes)).toBe(b);
    expect(panelHeld({ panel: a, sha256: 'hash of RH-01', window: undefined }, panels, hashes)).toBe(c);
    expect(panelHeld({ panel: a, sha256: 'any', window: windowOf(a) }, panels, hashes)).toBeUndefined();
    expect(panelHeld({ panel: b, sha256: 'any', window: windowOf(c) }, panels, hashes)).toBeUndefined();
    expect(
      panelHeld({ panel: a, sha256: 'any', window: { ...windowOf(a), x: 55 } }, panels, hashes),
    ).toBeUndefined();
    expect(panelHeld({ panel: a, sha256: 'any', window: undefined }, panels, hashes)).toBeUndefined();
  });
});

describe('the words of a verification', () => {
  it('say which way and how much', () => {
    expect(shiftText(0.52, 0.01)).toBe('0.5 mm to the right');
    expect(shiftText(-0.3, -2)).toBe('0.3 mm to the left and 2.0 mm up');
    expect(shiftText(0, 1.25)).toBe('1.3 mm down');
    expect(scaleText(1.02, 1.02)).toBe('2.0 % too large');
    expect(scaleText(0.995, 1)).toBe('0.50 % too small across');
    expect(scaleText(1.01, 0.99)).toBe('1.0 % too large across and 1.0 % too small down');
  });

  const report = (over: Partial<VerificationReport>): VerificationReport => ({
    format: 'panelwright-verification',
    version: 1,
    program: { name: 'Panelwright', version: '0.1.0' },
    renderer: 'another renderer 7',
    state: 'verified',
    sides: [],
    faults: [],
    notes: [],
    ...over,
  });
  const picture = { largest: 43, mean: 0.278, differingShare: 0, comparedPixels: 5000 };

  it('say of a verified run how well it agrees', () => {
    const panels = [
      { label: 'LH-01', file: 'panels/a.pdf', picture },
      { label: 'LH-02', file: 'panels/b.pdf', picture: { ...picture, largest: 7, mean: 0.01 } },
    ];
    const bands = [{ panels: ['LH-01', 'LH-02'] as [string, string], picture }];
    const sides = [{ sideCode: 'LH', ppi: 12, coveredShare: 1, panels, bands }];
    expect(outputVerificationFromReport(report({ sides }))).toEqual({
      state: 'verified',
      sentences: [
        'All 2 panels look like the artwork when drawn by another renderer 7: pixels at edges differ by at most 17 % of full tone, 0.11 % on average in the worst panel. The overlap of neighbors agrees.',
      ],
    });
  });

  it('say what only the second renderer shows, without refusing the panel', () => {
    const right = { compared: undefined, fault: undefined };
    const at = { x: 100, y: 70, width: 30, height: 20 };
    const fault = verificationFault(
      'picture-differs',
      { panels: ['LH-05'], sideCode: 'LH', at },
      'LH-05 differs.',
    );
    const read = { hasFaults: false, isComplete: true };
    expect(pictureVerdict(right, { ...right, fault }, read)).toBeUndefined();
    const note = pictureNote(right, { ...right, fault }, read)!;
    expect(note).toMatchObject({
      code: 'drawn-otherwise',
      panels: ['LH-05'],
      sideCode: 'LH',
      at: { xMm: 100, widthMm: 30 },
    });
    const { state, sentences } = outputVerificationFromReport(report({ notes: [note] }));
    expect(state).toBe('verified');
    expect(sentences[0]).not.toContain('another renderer 7');
    expect(sentences[1]).toBe(
      'LH-05 differs. Only the second renderer shows this: the first draws both alike, and the file holds the objects and samples of the artwork. The panel is released; look at that place on the first print.',
    );
    expect(pictureNote(right, right, read)).toBeUndefined();
    // What is a fault, or overruled, is no note.
    expect(pictureNote(right, { ...right, fault }, { ...read, isComplete: false })).toBeUndefined();
    expect(pictureNote({ ...right, fault }, { ...right, fault }, read)).toBeUndefined();
  });

  it('say of a failed one each fault with its remedy', () => {
    const fault = verificationFault('panel-missing', { panels: ['LH-07'] }, 'Panel LH-07 was not written.');
    expect(outputVerificationFromReport(report({ state: 'failed', faults: [fault] }))).toEqual({
      state: 'failed',
      sentences: [
        'Panel LH-07 was not written. Cut the job again; production must not start with a panel missing.',
      ],
    });
  });
});
