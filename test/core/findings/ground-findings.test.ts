import { describe, expect, it } from 'vitest';
import { sideFindings } from '../../../core/findings/layout/findings.ts';
import { areaFromPoints } from '../../../core/job/area-shape.ts';
import { jobProductionSettings } from '../../../core/job/job-production-settings.ts';
import type { Ground, Job } from '../../../core/job/schema.ts';
import { groundStretches } from '../../../core/layout/ground-stretch.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { jobInstall } from '../../../core/seams/side-install.ts';
import { smallJob } from '../../support/small-job.ts';

/** A recess of 500 × 300 mm within the left panel, 100 mm deep: its left panel has bleed of 50 mm and laps under by 15. */
const withDepth = (depth: Ground['depth'], change: Partial<Job> = {}): Job => {
  const job = smallJob(change);
  const recess: Ground = {
    id: 'step',
    name: 'Step',
    kind: 'recess',
    rect: { xMm: 200, yMm: 400, widthMm: 500, heightMm: 300 },
    ...(depth && { depth }),
  };
  return { ...job, sides: job.sides.map((side) => ({ ...side, ground: [recess] })) };
};

const said = (job: Job) =>
  sideFindings(job, jobLayout(job)[0]!).filter(({ code }) => code.startsWith('ground-'));

const flat = (depthMm: number, flankMm: number): Ground['depth'] => ({
  along: 'width',
  shape: { kind: 'flat-bottom', depthMm, flankMm },
});

const LIMITS = { stretchPercent: 15, minOverlapMm: 6 };

/** The recess with these corners instead of its rectangle. */
function withOutline(depth: Ground['depth'], corners: readonly (readonly [number, number])[]): Job {
  const job = withDepth(depth);
  const shape = areaFromPoints(corners.map(([x, y]) => ({ x, y })));
  const shaped = (ground: Ground) => ({ ...ground, ...shape });
  return { ...job, sides: job.sides.map((side) => ({ ...side, ground: side.ground.map(shaped) })) };
}

describe('film over ground with depth', () => {
  it('DEP3 nothing is said where the film can take the stretch, nor where no depth is known', () => {
    expect(said(withDepth(undefined))).toEqual([]);
    // Flanks of 40 × 30 mm are 50 mm long: 20 mm more on 500 mm, 4 %.
    expect(said(withDepth(flat(30, 40)))).toEqual([]);
  });

  it('DEP3 film that must be fed in comes from bleed, and from what seams do not need', () => {
    // Flanks of 60 × 80 mm are 100 mm long: 580 mm for 500 mm; 15 % of 500 is 75, so 5 mm must be fed in.
    const [stretch, ...others] = groundStretches(jobLayout(withDepth(flat(80, 60)))[0]!, {
      stretchPercent: 15,
      minOverlapMm: 6,
    });
    expect(others).toEqual([]);
    expect(stretch).toMatchObject({ drawnMm: 500, measure: 'width', spareMm: 50 + 15 - 6 });
    expect(stretch!.developedMm).toBeCloseTo(580, 9);
    expect(stretch!.stretchPercent).toBeCloseTo(16, 9);
    expect(stretch!.feedMm).toBeCloseTo(5, 9);
    expect(stretch!.leastStretchPercent).toBeCloseTo((100 * (80 - 59)) / 500, 9);
    const [finding] = said(withDepth(flat(80, 60)));
    expect(finding).toMatchObject({ code: 'ground-feed', severity: 'note' });
    expect(finding!.message).toContain('must cover 580 mm where the drawing has 500 mm: 16 % longer');
    expect(finding!.message).toContain('At least 5 mm must be fed in');
  });

  it('DEP3 a panel that has too little film warns of how much it lacks', () => {
    // Flanks of 90 × 120 mm are 150 mm: 620 mm. Fed in at least 120 − 75 = 45; with 10 % of stretch alone 70.
    expect(said(withDepth(flat(120, 90)))[0]).toMatchObject({ code: 'ground-feed' });
    // Flanks of 80 × 150 mm are 170 mm: 680 mm, so 180 − 75 = 105 mm; the ends have 59.
    const [short] = said(withDepth(flat(150, 80)));
    expect(short).toMatchObject({ code: 'ground-feed-short', severity: 'warn' });
    const { limits } = smallJob();
    expect(short!.figure).toBeCloseTo(105 - (65 - limits.minOverlapMm), 9);
  });

  it('a slanted recess is as long as its rows, not as the rectangle around it', () => {
    // Each row is 300 mm; the rectangle around them 500 mm. Flanks of 60 × 80 mm: 380 mm for 300 mm.
    const slanted = withOutline(flat(80, 60), [
      [200, 400],
      [500, 400],
      [700, 700],
      [400, 700],
    ]);
    const [stretch, ...others] = groundStretches(jobLayout(slanted)[0]!, LIMITS);
    expect(others).toEqual([]);
    expect(stretch!.drawnMm).toBeCloseTo(300, 9);
    expect(stretch!.developedMm).toBeCloseTo(380, 9);
    expect(stretch!.feedMm).toBeCloseTo(80 - 45, 9);
  });

  it('a recess that tapers counts with the mean of its rows; flanks that meet go less deep', () => {
    // Rows of 0 to 480 mm, 240 on average. From 120 mm on, three quarters of the rows, the flanks add 80 mm; before that
    // they meet, and add two thirds of the row: 40 mm on average.
    const pointed = withOutline(flat(80, 60), [
      [440, 400],
      [680, 700],
      [200, 700],
    ]);
    const [stretch] = groundStretches(jobLayout(pointed)[0]!, LIMITS);
    expect(stretch!.drawnMm).toBeCloseTo(240, 6);
    expect(stretch!.developedMm).toBeCloseTo(240 + 0.75 * 80 + 0.25 * 40, 0);
    // Two flanks of 250 mm are wider than its widest row, though not than the rectangle around a slanted one.
    const wide = withOutline(flat(80, 250), [
      [440, 400],
      [680, 700],
      [200, 700],
    ]);
    expect(said(wide)[0]).toMatchObject({ code: 'ground-depth-off' });
  });

  it('an arc is as long by its row everywhere', () => {
    // A half circle over each row: π / 2 as long.
    const arc = withOutline({ along: 'width', shape: { kind: 'arc', depthMm: 240 } }, [
      [440, 400],
      [680, 700],
      [200, 700],
    ]);
    const [stretch] = groundStretches(jobLayout(arc)[0]!, LIMITS);
    expect(stretch!.developedMm / stretch!.drawnMm).toBeCloseTo(Math.PI / 2, 9);
  });

  it('DEP3 both measures of an area are looked at by themselves', () => {
    const both: Ground['depth'] = {
      along: 'both',
      shape: { kind: 'flat-bottom', depthMm: 80, flankMm: 60 },
    };
    expect(said(withDepth(both)).map(({ code, where }) => [code, where.itemId])).toEqual([
      ['ground-feed', 'step-width'],
      ['ground-feed', 'step-height'],
    ]);
  });

  it('a depth that does not fit its area warns, and nothing is worked out from it', () => {
    const [off, ...others] = said(withDepth(flat(80, 260)));
    expect(others).toEqual([]);
    expect(off).toMatchObject({ code: 'ground-depth-off', severity: 'warn' });
    expect(off!.message).toContain('Two flanks of 260 mm are wider than its 500 mm.');
  });

  it('the surface to install counts with its depth', () => {
    const square = (job: Job) => jobInstall(job, jobLayout(job))![0]!.squareMeters;
    // 500 × 300 mm become 580 × 300 mm.
    expect(square(withDepth(flat(80, 60))) - square(withDepth(undefined))).toBeCloseTo(0.08 * 0.3, 9);
  });

  it('PR4 a film that cannot take what is left after feeding stops', () => {
    const film = {
      id: 'f1',
      use: 'film' as const,
      name: 'Meadow cast',
      kind: 'cast' as const,
      finish: 'gloss',
      thicknessUm: 50,
      adhesive: '',
      serviceYears: 7,
      widthMm: 1524,
      lengthMm: 45_720,
      pricePerM2: 14,
      lotNumber: '',
      stretchLimitPercent: 15,
    };
    const codes = (depth: Ground['depth']) => {
      const job = withDepth(depth);
      const withFilm: Job = { ...job, production: { ...jobProductionSettings(job), film } };
      return productionFindings({ job: withFilm, layouts: jobLayout(withFilm) }).map(({ code }) => code);
    };
    expect(codes(flat(80, 60))).not.toContain('pair-stretch');
    expect(codes(flat(150, 80))).toContain('pair-stretch');
  });
});
