import { describe, expect, it } from 'vitest';
import type { Job, Region } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { localFromMinutes, minutesFromLocal } from '../../../core/shop/local-time.ts';
import { DEFAULT_PRODUCTION, type ProductionSettings } from '../../../core/shop/production-settings.ts';
import type { ShelfFilm } from '../../../core/shop/shelf.ts';
import { workEnd } from '../../../core/shop/working-hours.ts';
import { smallJob } from '../../support/small-job.ts';

const FILM: ShelfFilm = {
  id: 'f1',
  use: 'film',
  name: 'Cast 52',
  kind: 'cast',
  finish: 'gloss',
  thicknessUm: 52,
  adhesive: 'solvent acrylic',
  serviceYears: 7,
  widthMm: 1524,
  lengthMm: 45_720,
  pricePerM2: 17,
  lotNumber: 'A1',
  stretchLimitPercent: 100,
};

function produced(over: Partial<ProductionSettings>) {
  return withFindings(smallJob({ production: { ...DEFAULT_PRODUCTION, ...over } }));
}

function withFindings(job: Job) {
  const layouts = jobLayout(job);
  const production = jobProduction(job, layouts);
  return { ...production, findings: productionFindings({ job, layouts, production }) };
}

describe('production of a job', () => {
  it('lays every panel of the job on rolls and works out film from the true roll', () => {
    const { plan, estimates, items } = produced({ film: FILM });
    // Film sizes by hand: 1,330 + 50 + 15 + 2 × 30 = 1,455; 1,770 + 10 + 50 + 2 × 30 = 1,890; both 1,460 high.
    expect(items.map(({ widthMm, lengthMm }) => [widthMm, lengthMm])).toEqual([
      [1455, 1460],
      [1890, 1460],
    ]);
    expect(plan.unplacedPanelIds).toEqual([]);
    // The second must turn to fit 1,504; the first may lie either way. Shorter: 1,455 + 15 + 1,890, 200 before and after.
    expect(plan.uses.map(({ usedLengthMm }) => usedLengthMm)).toEqual([200 + 1455 + 15 + 1890 + 200]);
    expect(estimates.film.value).toBeCloseTo((1524 * 3760) / 1e6, 9);
  });

  it('gives a clock only once it is known when printing begins, and measures the promise against it', () => {
    expect(produced({}).clock).toBeUndefined();
    const { clock, findings } = produced({ printStart: '2026-03-09T07:30', promised: '2026-03-10T08:00' });
    expect(clock!.dryingHours).toBe(72);
    expect(findings.map(({ code }) => code)).toContain('dry-promised-too-early');
    const measured = produced({ printStart: '2026-03-09T07:30', worstCoveragePercent: 180 });
    expect(measured.clock!.dryingHours).toBe(24);
  });

  it('prints through the night, begun within working hours, unless somebody has to be there', () => {
    const figures = { ...DEFAULT_PRODUCTION.figures, printM2PerHour: 1 };
    const endOf = (over: Parameters<typeof produced>[0]) => produced({ figures, ...over }).clock!.printEnd;
    const minutes = Math.ceil(produced({ figures }).estimates.printTime.value);
    // More than the hour that is left of the shift on Monday, less than until Tuesday evening.
    expect(minutes).toBeGreaterThan(60);
    const monday = minutesFromLocal('2026-03-09T15:30');
    expect(endOf({ printStart: '2026-03-09T15:30' })).toBe(localFromMinutes(monday + minutes));
    // At night nobody begins it; on Saturday neither.
    const morning = minutesFromLocal('2026-03-10T07:30');
    expect(endOf({ printStart: '2026-03-09T22:00' })).toBe(localFromMinutes(morning + minutes));
    const nextMonday = minutesFromLocal('2026-03-16T07:30');
    expect(endOf({ printStart: '2026-03-14T10:00' })).toBe(localFromMinutes(nextMonday + minutes));
    const attended = endOf({ printStart: '2026-03-09T15:30', printsAttended: true });
    expect(minutesFromLocal(attended)).toBe(workEnd(monday, minutes, DEFAULT_PRODUCTION.workingHours));
    expect(minutesFromLocal(attended)).toBeGreaterThan(monday + minutes);
  });

  it('names panels that no roll at hand can take', () => {
    const narrow = {
      id: 'r',
      label: 'Rest of a roll',
      widthMm: 1524,
      leftMarginMm: 10,
      rightMarginMm: 10,
      usableLengthMm: 2100,
      leadInMm: 200,
      tailMm: 200,
    };
    const { plan, findings } = produced({ rolls: [narrow] });
    expect(plan.unplacedPanelIds).toEqual(['small-job/p2']);
    expect(findings.some(({ message }) => message.includes('LH-02'))).toBe(true);
  });

  it('PR16 lets a side that mixes sections print both ways, and says so', () => {
    // Above, one panel of 3,200 mm that fits only turned; below, two of 1,590 and 1,610 that fit only upright.
    const layout: Region = {
      kind: 'split',
      seams: 'horizontal',
      joints: [{ id: 'belt', kind: 'lap', atMm: 500, firstMm: 10, secondMm: 15, top: 'first' }],
      parts: [
        { kind: 'panel', id: 'top' },
        {
          kind: 'split',
          seams: 'vertical',
          joints: [{ id: 'gap', kind: 'lap', atMm: 1330, firstMm: 15, secondMm: 10, top: 'second' }],
          parts: [
            { kind: 'panel', id: 'rear' },
            { kind: 'panel', id: 'front' },
          ],
        },
      ],
    };
    const job = smallJob({ printer: { ...smallJob().printer, rollWidthMm: 1480 } }, layout);
    const tall = {
      ...job,
      sides: [{ ...job.sides[0]!, artworkRect: { xMm: 5, yMm: 5, widthMm: 265, heightMm: 230 } }],
    };
    const { plan, findings } = withFindings(tall);
    expect(plan.unplacedPanelIds).toEqual([]);
    expect(plan.placements.map(({ turned }) => turned)).toContain(true);
    expect(plan.placements.map(({ turned }) => turned)).toContain(false);
    expect(findings.map(({ code }) => code)).toEqual(['roll-side-mixed-directions']);
  });
});
