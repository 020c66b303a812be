/** Runs all checks of the artwork against the job. */

import type { Finding } from '../../findings/finding.ts';
import { findingsSorted } from '../../findings/layout/findings.ts';
import { filmBase } from '../../job/film-base.ts';
import { hasSeveralFilms, jobFilms, jobOnFilm } from '../../job/job-films.ts';
import type { Job } from '../../job/schema.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { type ArtworkLimits, DEFAULT_ARTWORK_LIMITS } from '../../shop/artwork-limits.ts';
import { pageChecks } from '../check-context.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { boxFindings } from './box-findings.ts';
import { colorFindings } from './color-findings.ts';
import { deviceFindings } from './device-findings.ts';
import { documentFindings } from './document-findings.ts';
import { edgeFindings } from './edge-findings.ts';
import { fontFindings } from './font-findings.ts';
import { guideFindings } from './guide-findings.ts';
import { inkFindings } from './ink-findings.ts';
import { largeLetteringFindings } from './large-lettering-findings.ts';
import { layerFindings } from './layer-findings.ts';
import { letteringFindings } from './lettering-findings.ts';
import { outputIntentFindings } from './output-intent-findings.ts';
import { overprintFindings } from './overprint-findings.ts';
import { resolutionFindings } from './resolution-findings.ts';
import { resourceFindings } from './resource-findings.ts';
import { spotFindings } from './spot-findings.ts';
import { strokeFindings } from './stroke-findings.ts';
import { transparencyFindings } from './transparency-findings.ts';
import { whitePlateFindings } from './white-plate-findings.ts';

/** The artwork limits of a job, or the defaults. */
export const artworkLimits = (job: Pick<Job, 'artworkLimits'>): ArtworkLimits =>
  job.artworkLimits ?? DEFAULT_ARTWORK_LIMITS;

/**
 * Findings about the artwork of a job: about the pages that carry a side, and the content printed there. `scan` is of
 * the job's artwork, from the corner of its box (core/checks/scan/artwork-scan.ts). Pure and quick enough to run after
 * every edit.
 */
export function artworkChecks(
  job: Job,
  layouts: readonly SideLayout[],
  scan: ArtworkScan,
  limits: ArtworkLimits = artworkLimits(job),
): readonly Finding[] {
  const key = checksKey(job, layouts, limits);
  const last = lastChecks.get(scan);
  if (last?.key === key) return last.findings;
  const findings = checksRun(job, layouts, scan, limits);
  lastChecks.set(scan, { key, findings });
  return findings;
}

/** The last findings: moving a seam does not change them. */
const lastChecks = new WeakMap<
  ArtworkScan,
  { readonly key: string; readonly findings: readonly Finding[] }
>();

function checksKey(job: Job, layouts: readonly SideLayout[], limits: ArtworkLimits): string {
  const { size } = job.output;
  const sides = layouts.map(({ side, outline, artwork, panels }) => [
    [side.id, side.code, side.page, side.artworkRect, side.bleed, side.viewingDistanceMm],
    [outline, artwork],
    // Only user units vary from panel to panel.
    size.kind === 'user-unit' ? panels.map(({ printed, film }) => [printed, film]) : panels.length > 0,
  ]);
  const films = jobFilms(job).map(({ id, film }) => [
    film.name,
    film.whitePlate,
    filmBase(jobOnFilm(job, id)),
  ]);
  const printedOn = hasSeveralFilms(job)
    ? layouts.map(({ panels }) => panels.map(({ filmId }) => filmId))
    : [];
  return JSON.stringify([
    job.scale,
    size,
    job.displayUnit,
    job.artwork?.box,
    films,
    printedOn,
    limits,
    sides,
  ]);
}

function checksRun(
  job: Job,
  layouts: readonly SideLayout[],
  scan: ArtworkScan,
  limits: ArtworkLimits,
): Finding[] {
  const pages = pageChecks(job, layouts, scan, limits);
  const sides = pages.flatMap((page) => page.sides);
  const findings = [
    ...documentFindings(scan, new Set(layouts.flatMap(({ side }) => side.page ?? []))),
    ...layerFindings(pages),
    ...guideFindings(pages),
    ...outputIntentFindings(pages),
    ...pages.flatMap(boxFindings),
    ...pages.flatMap(resourceFindings),
    ...sides.flatMap(resolutionFindings),
    ...pages.flatMap(fontFindings),
    ...pages.flatMap(colorFindings),
    ...spotFindings(pages),
    ...whitePlateFindings(pages),
    ...sides.flatMap(inkFindings),
    ...sides.flatMap(overprintFindings),
    ...sides.flatMap(deviceFindings),
    ...pages.flatMap(transparencyFindings),
    ...sides.flatMap(strokeFindings),
    ...sides.flatMap(letteringFindings),
    ...sides.flatMap(largeLetteringFindings),
    ...sides.flatMap(edgeFindings),
  ];
  return findingsSorted(findings.flatMap((finding) => judged(finding, limits)));
}

/** A finding at the severity that the shop sets for it; undefined where the shop turned it off. */
export function judged(finding: Finding, { severities }: ArtworkLimits): Finding[] {
  const severity = Object.hasOwn(severities, finding.code) ? severities[finding.code] : undefined;
  if (severity === 'off') return [];
  return [severity === undefined ? finding : { ...finding, severity }];
}
