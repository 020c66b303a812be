import { describe, expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { coverageInUse, type MeasuredCoverage } from '../../../core/production/job-coverage.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { DEFAULT_PRODUCTION, type ProductionSettings } from '../../../core/shop/production-settings.ts';
import { breakable } from '../../support/breakable.ts';
import { smallJob } from '../../support/small-job.ts';

const measuredPanel = (panelId: string, label: string, meanPercent: number, worstPercent: number) => ({
  panelId,
  label,
  meanPercent,
  worstPercent,
  worstAt: { xMm: 127, yMm: 254 },
  windowMm2: 15.05,
});
const MEASURED: MeasuredCoverage = {
  panels: [measuredPanel('p1', 'LH-01', 140, 190), measuredPanel('p2', 'LH-02', 90, 340)],
  unmeasured: [],
};
const PRINTED_M2 = { p1: 1.395 * 1.4, p2: 1.83 * 1.4 };

function produced(settings: Partial<ProductionSettings> = {}, measured: MeasuredCoverage = MEASURED) {
  const job = smallJob({
    production: { ...DEFAULT_PRODUCTION, printStart: '2026-03-09T08:00', ...settings },
  });
  return jobProduction(job, jobLayout(job), measured);
}

describe('coverage of a job', () => {
  it('the worst panel decides how long prints dry, every panel how much ink they take', () => {
    const { coverage, clock, estimates } = produced();
    expect(coverage.worst).toEqual({ percent: 340, source: 'file', label: 'LH-02' });
    expect(clock?.dryingHours).toBe(72);
    const fullPlates = PRINTED_M2.p1 * 1.4 + PRINTED_M2.p2 * 0.9;
    expect(coverage.mean?.percent).toBeCloseTo((100 * fullPlates) / (PRINTED_M2.p1 + PRINTED_M2.p2), 9);
    expect(estimates.ink?.value).toBeCloseTo(fullPlates * DEFAULT_PRODUCTION.figures.inkMlPerM2, 9);
  });

  it('a figure that somebody enters wins, and is not held against the limit of the film', () => {
    const entered = { worstCoveragePercent: 210, meanCoveragePercent: 50 };
    const { coverage, clock, estimates } = produced(entered);
    expect(coverage.worst).toEqual({ percent: 210, source: 'entered' });
    expect(clock?.dryingHours).toBe(48);
    expect(estimates.ink?.inputs.find(({ name }) => name === 'Mean coverage')?.value).toBeCloseTo(50, 9);
    const job = smallJob({ production: { ...DEFAULT_PRODUCTION, ...entered } });
    const findings = productionFindings({ job, layouts: jobLayout(job), measured: MEASURED });
    expect(findings.map(({ code }) => code)).not.toContain('coverage-over-limit');
  });

  it('where a panel could not be computed it may be the worst: the longest drying holds, ink is not guessed', () => {
    const { coverage, clock, estimates } = produced(
      { ink: 'solvent' },
      { panels: [measuredPanel('p1', 'LH-01', 140, 190)], unmeasured: [{ sideCode: 'LH', reason: 'why' }] },
    );
    expect([coverage.worst, coverage.mean]).toEqual([undefined, undefined]);
    expect(coverage.unmeasured).toEqual([{ sideCode: 'LH', reason: 'why' }]);
    expect(clock?.dryingHours).toBe(72);
    expect(estimates.ink).toBeUndefined();
    const job = smallJob();
    expect(coverageInUse(jobLayout(job), DEFAULT_PRODUCTION, undefined).worst).toBeUndefined();
  });

  it('PR2 a panel above the limit of the film is a finding of production, in the unit of the job', () => {
    const job = smallJob({ displayUnit: 'in', production: DEFAULT_PRODUCTION });
    const known = { job, layouts: jobLayout(job), measured: MEASURED };
    const found = productionFindings(known).find(({ code }) => code === 'coverage-over-limit');
    expect(found?.where).toEqual({ panelId: 'p2', sideId: 'left' });
    expect(found?.message).toContain('LH-02 reaches about 340 %');
    expect(breakable(found!.message)).toContain('5 in from the left, 10 in from the top');
  });
});
