/** What the checks say about a job and its artwork, with a picture of each side, as PDF. */
import { CHECK_REPORT, checkReportSheets } from '../../core/checks/report/check-report.ts';
import type { ArtworkScan } from '../../core/checks/scan/schema.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { drawSidePictures } from '../artwork/side-pictures.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { packedQuickly } from '../files/packed-quickly.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { sha256Hex } from '../files/sha256.ts';
import type { JobState } from '../job/job-state.ts';
import { glyphRemarks, pictureRemarks } from './output-sheets.ts';

export interface CheckReport {
  readonly bytes: Uint8Array;
  readonly pageCount: number;
  readonly findings: readonly Finding[];
  readonly remarks: readonly string[];
}

export async function checkReport(
  { job, layouts, findings }: JobState,
  artwork: OpenedArtwork & { readonly scan: ArtworkScan },
  signal: AbortSignal,
): Promise<CheckReport> {
  const missing = new Set<string>();
  const fonts = fontLibraryFromFiles(sheetFontFiles(), (character) => missing.add(character));
  const pictures = await drawSidePictures(job, artwork, signal);
  const sheets = checkReportSheets(job, layouts, findings, artwork.scan, {
    fonts,
    artworkPicture: (side) => pictures.get(side.id),
  });
  // The report says what the program found in these bytes under this job: another of the three, another report.
  const made = [PROGRAM_VERSION, artwork.reference.sha256, jobToJson(job)].join('\n');
  const sha256 = sha256Hex(new TextEncoder().encode(made));
  const bytes = await sheetsPdf(job, sheets, { documentType: CHECK_REPORT, sha256 }, fonts, packedQuickly);
  const undrawn = job.sides.filter(({ id }) => !pictures.has(id)).map(({ code }) => code);
  return {
    bytes,
    pageCount: sheets.length,
    findings,
    remarks: [
      ...pictureRemarks({ sidesWithoutPicture: undrawn, sidesWithoutPhoto: [] }),
      ...glyphRemarks(missing),
    ],
  };
}
