import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import type { Panel } from '../../../core/layout/panel.ts';
import { layoutWithPatch, PATCH_REACH_MM, type Patch, patchOf } from '../../../core/layout/patch.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { isRectWithin, type Rect, rectBottom, rectRight } from '../../../core/measure/rect.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { smallJob } from '../../support/small-job.ts';
import { testFonts } from '../sheets/fixture.ts';
import { textsOf } from '../sheets/sheet-checks.ts';

/** Two panels on 3,100 × 1,300 mm, the seam at x = 1330; the right one lies over the left by 15 mm. */
const jobOf = (over: Partial<Side> = {}): Job => {
  const job = smallJob();
  return { ...job, limits: { ...job.limits, minOverlapMm: 12 }, sides: [{ ...job.sides[0]!, ...over }] };
};
const rect = (x: number, y: number, width: number, height: number): Rect<'finished'> => ({
  x,
  y,
  width,
  height,
});

function patched(
  job: Job,
  label: string,
  damage: Rect<'finished'>,
  lettering: Rect<'finished'>[] = [],
): Patch {
  const [layout] = jobLayout(job);
  const { id } = layout!.panels.find((panel) => panel.label === label)!;
  const patch = patchOf(job, layout!, { panelId: id, damage, number: 1 }, lettering);
  if (!patch.ok) throw new Error(patch.problem.message);
  return patch.value;
}
const facts = (...order: Parameters<typeof patched>) => {
  const patch = patched(...order);
  return { ...patch, ends: patch.patch.ends };
};
const panelOf = (job: Job, label: string): Panel =>
  jobLayout(job)[0]!.panels.find((panel) => panel.label === label)!;

describe('a patch over damage', () => {
  it('PAT1 laps the damage on all sides by the least overlap of the shop', () => {
    const { ends, ...panel } = facts(jobOf(), 'LH-02', rect(2000, 500, 90, 70));
    expect(panel.net).toEqual(rect(1988, 488, 114, 94));
    expect(panel.printed).toEqual(panel.net);
    expect(panel.label).toBe('LH-02 patch 1');
    expect(ends).toEqual({
      top: { kind: 'on-panel', lapMm: 12 },
      right: { kind: 'on-panel', lapMm: 12 },
      bottom: { kind: 'on-panel', lapMm: 12 },
      left: { kind: 'on-panel', lapMm: 12 },
    });
    for (const edge of Object.values(panel.edges)) expect(edge).toMatchObject({ lies: 'over', trim: 'shop' });
  });

  it('PAT2 grows to a body line that is near, and keeps clear of rivets', () => {
    const line = { id: 'b1', name: 'belt', direction: 'horizontal', atMm: 640 } as const;
    const belt = jobOf({ bodyLines: [{ ...line, kind: 'molding' }] });
    const { ends, ...panel } = facts(belt, 'LH-02', rect(2000, 500, 90, 70));
    // 570 + 12 is the least; the molding lies 58 mm past it.
    expect(rectBottom(panel.net)).toBe(640);
    expect(ends.bottom).toEqual({ kind: 'body-line', name: 'belt', lapMm: 70 });
    const rivets = jobOf({ bodyLines: [{ ...line, kind: 'rivet-row' }] });
    const { rivetClearanceMm, rivetHeadMm } = rivets.limits;
    const short = patched(rivets, 'LH-02', rect(2000, 500, 90, 70));
    expect(rectBottom(short.net)).toBeCloseTo(640 - rivetClearanceMm - rivetHeadMm / 2, 9);
    // So near to the rivets that the patch ends past them.
    const past = patched(rivets, 'LH-02', rect(2000, 540, 90, 80));
    expect(rectBottom(past.net)).toBeCloseTo(640 + rivetClearanceMm + rivetHeadMm / 2, 9);
    const far = jobOf({ bodyLines: [{ ...line, kind: 'molding', atMm: 583 + PATCH_REACH_MM }] });
    expect(rectBottom(patched(far, 'LH-02', rect(2000, 500, 90, 70)).net)).toBe(582);
  });

  it('PAT2 at the edge of its panel does what the panel does there', () => {
    const job = jobOf();
    const [left, right] = [panelOf(job, 'LH-01'), panelOf(job, 'LH-02')];
    const over = patched(job, 'LH-02', rect(right.net.x + 40, 1190, 60, 60));
    expect(over.patch.ends.left).toEqual({ kind: 'panel-edge' });
    expect(over.net.x).toBe(right.net.x);
    expect(over.printed.x).toBe(right.printed.x);
    expect(over.edges.left).toMatchObject({ lies: 'over', overlapMm: 25 });
    // The bleed of the lower edge is printed again.
    expect(rectBottom(over.printed)).toBe(rectBottom(right.printed));
    expect(over.edges.bottom.kind).toBe('outer');
    // The left panel goes under the right one, which is on the vehicle: its patch ends there.
    const under = patched(job, 'LH-01', rect(rectRight(left.net) - 100, 600, 60, 60));
    expect(rectRight(under.net)).toBe(rectRight(left.net));
    expect(rectRight(under.printed)).toBe(rectRight(left.net));
    expect(under.edges.right).toMatchObject({ lies: 'edge-to-edge', overlapMm: 0, trim: 'shop' });
  });

  it('PAT3 goes around lettering that is near and says what it cuts else', () => {
    const word = rect(2050, 460, 120, 60);
    const around = patched(jobOf(), 'LH-02', rect(2000, 500, 90, 70), [word]);
    expect(around.patch.cut).toEqual([]);
    expect(isRectWithin(word, around.net)).toBe(true);
    const headline = rect(1500, 510, 1400, 40);
    const through = patched(jobOf(), 'LH-02', rect(2000, 500, 90, 70), [headline]);
    expect(through.patch.cut).toEqual([headline]);
    expect(through.net).toEqual(rect(1988, 488, 114, 94));
  });

  it('is refused where the damage lies beside the panel, and says where it goes beyond', () => {
    const job = jobOf();
    const [layout] = jobLayout(job);
    const { id } = panelOf(job, 'LH-01');
    const refused = patchOf(job, layout!, { panelId: id, damage: rect(2000, 500, 50, 50), number: 1 }, []);
    expect(refused.ok ? '' : refused.problem.message).toBe('The damage lies outside panel LH-01.');
    const unknown = patchOf(job, layout!, { panelId: 'gone', damage: rect(0, 0, 9, 9), number: 1 }, []);
    expect(unknown.ok ? '' : unknown.problem.code).toBe('panel-unknown');
    const both = patched(job, 'LH-01', rect(1300, 500, 90, 70));
    expect(both.patch.isDamageBeyond).toBe(true);
    expect(rectRight(both.patch.damage)).toBe(rectRight(panelOf(job, 'LH-01').net));
  });

  it('PAT1 covers the damage with its lap and prints nothing that its panel did not, wherever it is', () => {
    const place = fc.record({
      label: fc.constantFrom('LH-01', 'LH-02'),
      x: fc.double({ min: -50, max: 3100, noNaN: true }),
      y: fc.double({ min: -50, max: 1300, noNaN: true }),
      width: fc.double({ min: 1, max: 900, noNaN: true }),
      height: fc.double({ min: 1, max: 900, noNaN: true }),
      words: fc.array(
        fc.record({
          x: fc.double({ min: 0, max: 3000, noNaN: true }),
          y: fc.double({ min: 0, max: 1250, noNaN: true }),
          width: fc.double({ min: 5, max: 500, noNaN: true }),
          height: fc.double({ min: 5, max: 200, noNaN: true }),
        }),
        { maxLength: 4 },
      ),
      lineAt: fc.double({ min: 20, max: 1280, noNaN: true }),
    });
    fc.assert(
      fc.property(place, ({ label, words, lineAt, ...damage }) => {
        const line = {
          id: 'b1',
          name: 'belt',
          direction: 'horizontal',
          atMm: lineAt,
          kind: 'crease',
        } as const;
        const job = jobOf({ bodyLines: [line] });
        const [layout] = jobLayout(job);
        const of = panelOf(job, label);
        const patch = patchOf(job, layout!, { panelId: of.id, damage, number: 2 }, words);
        if (!patch.ok) return;
        const panel = patch.value;
        const { ends, damage: shown } = panel.patch;
        expect(isRectWithin(shown, panel.net)).toBe(true);
        expect(isRectWithin(panel.net, of.net)).toBe(true);
        expect(isRectWithin(panel.printed, of.printed)).toBe(true);
        expect(isRectWithin(panel.net, panel.printed)).toBe(true);
        const laps = {
          left: shown.x - panel.net.x,
          right: rectRight(panel.net) - rectRight(shown),
          top: shown.y - panel.net.y,
          bottom: rectBottom(panel.net) - rectBottom(shown),
        };
        for (const edge of ['top', 'right', 'bottom', 'left'] as const)
          if (ends[edge].kind !== 'panel-edge') expect(laps[edge]).toBeGreaterThanOrEqual(12 - 1e-6);
        expect(layoutWithPatch(layout!, patch.value).panels.at(-1)).toBe(panel);
      }),
      { numRuns: 400, seed: 417 },
    );
  });

  it('is as small as its damage without a warning, and its label leads to its sheet', () => {
    const job = jobOf();
    const [layout] = jobLayout(job);
    const patch = patched(job, 'LH-02', rect(2000, 500, 20, 20));
    const layouts = [layoutWithPatch(layout!, patch)];
    const codes = layoutFindings(job, layouts).map(({ code, where }) => `${code} ${where.panelId ?? ''}`);
    expect(codes).not.toContain(`panel-sliver ${patch.id}`);
    const words = panelLabels(job, layouts, {
      fonts: testFonts(),
      sheet: LABEL_SHEETS['a4-2x4'],
      panelIds: [patch.id],
      hasStamp: false,
    })
      .flatMap((drawn) => textsOf(drawn).map(({ text }) => text))
      .join(' / ');
    expect(words).toContain('LH-02 patch 1');
    expect(words).toContain('Over damage');
    expect(words).toContain('Install by its patch sheet');
    expect(words).not.toContain(' of 3');
  });
});
