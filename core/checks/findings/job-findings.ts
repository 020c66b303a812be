/**
 * All findings about a job in one list: layout, artwork, materials, rolls, drying and output. Screens, the check
 * command, the output gate and the ticket all use this list, so that they agree.
 *
 *     const findings = jobFindings({ job, layouts: jobLayout(job) });   // nothing more is known yet
 *     const blocking = findingsBlock(job, findings);                    // must be empty before panels are written
 */
import { type Finding, findingKey } from '../../findings/finding.ts';
import { type FindingFacts, findingsSorted, layoutFindings } from '../../findings/layout/findings.ts';
import type { Job } from '../../job/schema.ts';
import type { PageExtents, SideLayout } from '../../layout/side-layout.ts';
import {
  movedSideFindings,
  type OutputPanels,
  olderArtworkFindings,
  olderOutputFindings,
} from '../../output/older-outputs.ts';
import { layoutsOfPanels } from '../../output/reprint-layouts.ts';
import { type ProductionKnown, productionFindings } from '../../production/production-findings.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { artworkChecks, artworkLimits, judged } from './artwork-checks.ts';
import { letteringSeamFindings } from './lettering-seam-findings.ts';

/** What is known about a job. What is not known yet is absent; only the findings that depend on it are missing then. */
export interface JobKnown extends ProductionKnown {
  readonly artwork?: ArtworkKnown;
  /** Earlier outputs of the job. */
  readonly outputs?: readonly OutputPanels[];
}

/** What was read from the artwork file. */
export interface ArtworkKnown {
  readonly sha256: string;
  /** The extent of the artwork on each usable page. */
  readonly pages: PageExtents;
  /** Remarks available as soon as the pages are opened, see core/checks/page-remarks.ts. */
  readonly remarks: readonly Finding[];
  /** Absent until the pages are scanned. */
  readonly scan?: ArtworkScan;
}

/**
 * Most serious first, without duplicates. With `panelIds`, only these panels are produced, and findings about others
 * are left out. Keeps FND6.
 */
export function jobFindings(known: JobKnown, panelIds?: ReadonlySet<string>): Finding[] {
  const { job, layouts, artwork, outputs = [] } = known;
  const facts: FindingFacts = artwork ? { pages: artwork.pages, artworkSha256: artwork.sha256 } : {};
  const usedPages = new Set<number | undefined>(job.sides.map(({ page }) => page));
  const ofDrawing = [
    ...layoutFindings(job, layouts, facts),
    ...(artwork?.remarks ?? []).filter(({ where }) => usedPages.has(where.page)),
    ...(artwork?.scan ? artworkChecks(job, layouts, artwork.scan) : []),
    ...(artwork?.scan ? seamsOnArtwork(job, layouts, artwork.scan) : []),
    ...olderOutputFindings(layouts, outputs),
    ...olderArtworkFindings(job, outputs),
    ...movedSideFindings(job, layouts, outputs),
  ];
  if (!panelIds) return listed([...ofDrawing, ...productionFindings(known)]);
  const made = layoutsOfPanels(layouts, [...panelIds]);
  const sideIds = new Set(made.map(({ side }) => side.id));
  return listed([
    ...ofDrawing.filter(
      ({ where: { panelId, sideId } }) =>
        (panelId === undefined || panelIds.has(panelId)) && (sideId === undefined || sideIds.has(sideId)),
    ),
    ...productionFindings({ ...known, layouts: made }),
  ]);
}

/**
 * Findings about what a seam crosses in the artwork. Unlike the artwork's findings, they are updated after every move
 * of a seam.
 */
const seamsOnArtwork = (job: Job, layouts: readonly SideLayout[], scan: ArtworkScan): Finding[] =>
  letteringSeamFindings(job, layouts, scan).flatMap((finding) => judged(finding, artworkLimits(job)));

const listed = (findings: readonly Finding[]): Finding[] => [
  ...new Map(
    findingsSorted(findings).map((finding) => [`${findingKey(finding)} ${finding.message}`, finding]),
  ).values(),
];
