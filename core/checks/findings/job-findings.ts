/**
 * All that speaks against a job, as one list: of its layout, its artwork, its materials, rolls and drying, its output.
 * Screens, the check command, the output gate and the ticket show this list, so that none knows what another does not.
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

/** What is known of a job. What is not known yet is absent, and only the findings that rest on it are missing then. */
export interface JobKnown extends ProductionKnown {
  readonly artwork?: ArtworkKnown;
  /** What was cut of the job before. */
  readonly outputs?: readonly OutputPanels[];
}

/** What was read from the artwork file. */
export interface ArtworkKnown {
  readonly sha256: string;
  /** Where each page that can be used holds artwork. */
  readonly pages: PageExtents;
  /** What the pages say as soon as they are opened, see core/checks/page-remarks.ts. */
  readonly remarks: readonly Finding[];
  /** Absent where the pages were not looked through yet. */
  readonly scan?: ArtworkScan;
}

/**
 * Most serious first, none twice. With `panelIds`, only these panels are made: production is of them alone, and what
 * speaks against others is left out.
 * Keeps FND6.
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

/** What a seam meets in the artwork: looked at after every move of a seam, unlike the artwork itself. */
const seamsOnArtwork = (job: Job, layouts: readonly SideLayout[], scan: ArtworkScan): Finding[] =>
  letteringSeamFindings(job, layouts, scan).flatMap((finding) => judged(finding, artworkLimits(job)));

const listed = (findings: readonly Finding[]): Finding[] => [
  ...new Map(
    findingsSorted(findings).map((finding) => [`${findingKey(finding)} ${finding.message}`, finding]),
  ).values(),
];
