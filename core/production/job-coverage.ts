/** Ink coverage of a job, panel by panel: as computed from the artwork, or as entered by hand. */
import { z } from 'zod';
import type { Finding } from '../findings/finding.ts';
import { jobFilms, jobOnFilm } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { foundIn } from '../measure/present.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../shop/artwork-limits.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import { coverageFindings } from './coverage.ts';

const percent = z.number().min(0).max(1600);

export const PanelCoverage = z.strictObject({
  panelId: z.string(),
  label: z.string(),
  meanPercent: percent,
  /** Over the worst window of `windowMm2`. */
  worstPercent: percent,
  /** Corner of that window from the upper left corner of the printed image, in finished mm. */
  worstAt: z.strictObject({ xMm: z.number(), yMm: z.number() }),
  windowMm2: z.number().positive(),
});
export type PanelCoverage = z.infer<typeof PanelCoverage>;

/** What was computed from the file. It says what the file asks for, not what the press lays down. */
export const MeasuredCoverage = z.strictObject({
  panels: z.array(PanelCoverage),
  /** Sides that could not be computed, each with a sentence why. */
  unmeasured: z.array(z.strictObject({ sideCode: z.string(), reason: z.string() })),
});
export type MeasuredCoverage = z.infer<typeof MeasuredCoverage>;

export const COVERAGE_NOTE =
  'Computed from the file, not from the press: gray as black, RGB as its complements without black, spot inks as what stands in for them, blending ink by ink, overprint by the larger ink.';

/** `entered` wins over `file`. */
const CoverageFigure = z.strictObject({ percent, source: z.enum(['entered', 'file']) });

/** The figures that drying and ink are counted with; absent where nobody knows. */
export const CoverageInUse = z.strictObject({
  worst: CoverageFigure.extend({ label: z.string().optional() }).optional(),
  mean: CoverageFigure.optional(),
  ...MeasuredCoverage.shape,
});
export type CoverageInUse = z.infer<typeof CoverageInUse>;

/** Whether a job has to be computed, or was entered in full for each film. */
export const needsCoverage = (job: Job): boolean =>
  jobFilms(job).some(({ id }) => isUnknown(jobProductionSettings(jobOnFilm(job, id))));

const isUnknown = ({ worstCoveragePercent, meanCoveragePercent }: ProductionSettings): boolean =>
  worstCoveragePercent === undefined || meanCoveragePercent === undefined;

/** A figure of the file holds only where every panel has one: a panel that nobody looked at may be the worst. */
export function coverageInUse(
  layouts: readonly SideLayout[],
  { worstCoveragePercent, meanCoveragePercent }: ProductionSettings,
  measured: MeasuredCoverage | undefined,
): CoverageInUse {
  const known = new Map(measured?.panels.map((panel) => [panel.panelId, panel]));
  const all = layouts.flatMap((layout) => layout.panels);
  const panels = all.flatMap(({ id }) => known.get(id) ?? []);
  const isWhole = panels.length === all.length && panels.length > 0;
  const worst = panels.toSorted((a, b) => b.worstPercent - a.worstPercent)[0];
  const areaOf = (id: string) => {
    const { printed } = foundIn(all, (panel) => panel.id === id);
    return printed.width * printed.height;
  };
  const areaMm2 = panels.reduce((sum, { panelId }) => sum + areaOf(panelId), 0);
  const inkMm2 = panels.reduce((sum, { panelId, meanPercent }) => sum + areaOf(panelId) * meanPercent, 0);
  const ofFile = { source: 'file' } as const;
  return {
    worst:
      worstCoveragePercent !== undefined
        ? { percent: worstCoveragePercent, source: 'entered' }
        : isWhole && worst
          ? { ...ofFile, percent: worst.worstPercent, label: worst.label }
          : undefined,
    mean:
      meanCoveragePercent !== undefined
        ? { percent: meanCoveragePercent, source: 'entered' }
        : isWhole
          ? { ...ofFile, percent: inkMm2 / areaMm2 }
          : undefined,
    panels,
    unmeasured: measured?.unmeasured ?? [],
  };
}

/** Panels above the film's limit. None where the worst figure was entered by hand: that person has judged it. */
export function jobCoverageFindings(
  job: Job,
  layouts: readonly SideLayout[],
  { worst, panels }: CoverageInUse,
): Finding[] {
  if (worst?.source === 'entered') return [];
  const { maxInkPercent } = job.artworkLimits ?? DEFAULT_ARTWORK_LIMITS;
  return layouts.flatMap((layout) => {
    const ids = new Set(layout.panels.map(({ id }) => id));
    const ofSide = panels.filter(({ panelId }) => ids.has(panelId));
    return coverageFindings(ofSide, maxInkPercent, job.displayUnit).map((finding) => ({
      ...finding,
      where: { ...finding.where, sideId: layout.side.id },
    }));
  });
}
