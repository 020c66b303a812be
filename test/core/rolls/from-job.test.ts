import { describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import {
  packItemFromPanel,
  rollRulesFromPrinter,
  rollStockFromPrinter,
} from '../../../core/rolls/from-job.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { PackItem, RollRules, RollStock } from '../../../core/shop/rolls.ts';

/** A trailer side of 6,000 × 2,100 mm in four equal drops, drawn 1:10. */
const job = Job.parse({
  ...jobEmpty({
    id: 'job-1',
    number: '1',
    name: 'Trailer',
    customer: 'Alder County Library',
    date: '2026-11-25',
  }),
  printer: {
    name: 'Printer 2',
    rollWidthMm: 1600,
    rollLengthMm: 30_000,
    marginLeftMm: 6,
    marginRightMm: 8,
    longestPrintMm: 12_000,
    feedErrorPercent: 0.25,
  },
  sides: [
    {
      id: 'left',
      code: 'LH',
      name: 'Left side',
      page: 1,
      artworkRect: { xMm: 11, yMm: 7, widthMm: 600, heightMm: 210 },
      front: 'right',
      bleed: { top: 40, right: 0, bottom: 40, left: 0 },
      bodyLines: [],
      noSeamAreas: [],
      ground: [],
      noFilmAreas: [],
      layout: {
        kind: 'split',
        seams: 'vertical',
        joints: [1500, 3000, 4500].map((atMm) => ({
          id: `seam-${atMm}`,
          kind: 'lap',
          atMm,
          firstMm: 10,
          secondMm: 15,
          top: 'second',
        })),
        parts: ['a', 'b', 'c', 'd'].map((id) => ({ kind: 'panel', id })),
      },
      notes: '',
    },
  ],
});

describe('from a job to a roll plan', () => {
  it('takes film sizes, install order, roll and limits from the job', () => {
    const items = jobLayout(job).flatMap((side) =>
      side.panels.map((panel) => packItemFromPanel(panel, job.id, false)),
    );
    const roll = rollStockFromPrinter(job.printer, 'roll-1', 'Full roll');
    const rules = rollRulesFromPrinter(job.printer);
    for (const item of items) expect(PackItem.parse(item)).toEqual(item);
    expect(RollStock.parse(roll)).toMatchObject({ widthMm: 1600, leftMarginMm: 6, usableLengthMm: 30_000 });
    expect(RollRules.parse(rules)).toMatchObject({ longestPrintMm: 12_000 });
    expect(rules.feedCompensationPercent).toBeCloseTo(100 * (1 / 1.0025 - 1), 12);

    const plan = rollPlan(items, [roll], rules);
    // Each drop is 2,100 + 2 × 40 bleed + 2 × 30 border long and too wide to share the film with another.
    expect(plan.filmUsedMm).toBe(200 + 4 * 2240 + 3 * 15 + 200);
    expect(plan).toMatchObject({ isShortest: true, outOfOrder: 0, unplacedPanelIds: [], findings: [] });
    expect(plan.placements.map((place) => place.panelId)).toEqual([
      'job-1/a',
      'job-1/b',
      'job-1/c',
      'job-1/d',
    ]);
  });
});
