/** The papers of a reprint: a ticket, labels, a packing list and a map for the panels that are made again. */

import type { JobKnown } from '../../core/checks/findings/job-findings.ts';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import type { Job } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import type { ColorStrip } from '../../core/output/color-strip.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { jobOfReprint, layoutsAsWritten, layoutsOfPanels } from '../../core/output/reprint-layouts.ts';
import { isDrawnKind, type SheetKind } from '../../core/output/sheet-kind.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import type { StagedFolder } from '../files/staged-folder.ts';
import { type CoverageTools, measureCoverage } from '../ink/job-coverage.ts';
import { jobKnown } from '../job/job-state.ts';
import { writeDataFiles } from './data-files.ts';
import { drawOutputSheets, glyphRemarks, pictureRemarks, sheetFonts } from './output-sheets.ts';

export interface SheetsOfReprint {
  readonly files: readonly OutputFile[];
  readonly remarks: readonly string[];
}

export interface ReprintPapers {
  readonly kinds: readonly SheetKind[];
  /** What the first output was made with. */
  readonly firstRecord: ProductionRecord | undefined;
  /** What is printed before the panels, to compare on the vehicle. */
  readonly strip: ColorStrip | undefined;
}

/** `manifest`: of the reprint, with the panels that are made again. Without artwork the map is a line drawing. */
export async function writeReprintSheets(
  { job, manifest }: { readonly job: Job; readonly manifest: Manifest },
  { artwork, logo }: { readonly artwork: OpenedArtwork | undefined; readonly logo: ShopLogo | undefined },
  { kinds, firstRecord, strip }: ReprintPapers,
  staged: StagedFolder,
  tools: CoverageTools,
): Promise<SheetsOfReprint> {
  const missingGlyphs = new Set<string>();
  const fonts = sheetFonts((character) => missingGlyphs.add(character));
  const state = await stateOfReprint(job, manifest, artwork, tools);
  const panelIds = new Set(manifest.panels.map(({ panelId }) => panelId));
  const wanted = {
    state,
    artwork,
    kinds: kinds.filter(isDrawnKind),
    panelIds,
    isReprint: true,
    output: manifest.output,
    firstRecord,
    strip,
    logo,
  };
  const drawn = await drawOutputSheets(wanted, fonts, tools.signal);
  const files: OutputFile[] = [];
  for (const { kind, name, bytes } of drawn.sheets) {
    files.push({ name, kind, ...(await staged.write(name, bytes)) });
  }
  files.push(...(await writeDataFiles(kinds, { state, panelIds, strip }, manifest, staged, tools.signal)));
  return {
    files,
    remarks: [...pictureRemarks(drawn), ...glyphRemarks(missingGlyphs)],
  };
}

/** What the papers of a reprint show: the job as it is made again, with the panels as they were written. */
export async function stateOfReprint(
  job: Job,
  { panels, output }: Manifest,
  artwork: OpenedArtwork | undefined,
  tools: CoverageTools,
): Promise<JobKnown> {
  const known = jobKnown(jobOfReprint(job, output.reprint?.unitNumber), artwork);
  const layouts = layoutsAsWritten(known.layouts, panels);
  const ofPanels = layoutsOfPanels(
    layouts,
    panels.map(({ panelId }) => panelId),
  );
  const measured = await measureCoverage(known.job, ofPanels, artwork, tools);
  return { ...known, layouts, ...(measured && { measured }) };
}
