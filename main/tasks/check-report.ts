/** What the checks say about a job and its artwork, with a picture of each side, as PDF. */
import { CHECK_REPORT, checkReportSheets } from '../../core/checks/report/check-report.ts';
import { designerFindings } from '../../core/checks/report/designer-findings.ts';
import { findingMarks } from '../../core/checks/report/finding-marks.ts';
import { findingsNumbered } from '../../core/checks/report/numbered-finding.ts';
import type { ArtworkScan } from '../../core/checks/scan/schema.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import { annotationsAppended } from '../../core/pdf/remarks/page-annotations.ts';
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

export interface DesignerReport extends CheckReport {
  /** Absent where nothing can be appended to the file. */
  readonly appended?: Uint8Array;
}

type ScannedArtwork = OpenedArtwork & { readonly scan: ArtworkScan };

export const checkReport = (
  state: JobState,
  artwork: ScannedArtwork,
  signal: AbortSignal,
): Promise<CheckReport> => reportOf(state, state.findings, artwork, signal);

/** The report as the designer of the artwork can act on it, and what is appended to a copy of it to hold the same remarks. */
export async function designerReport(
  state: JobState,
  artwork: ScannedArtwork,
  at: string,
  signal: AbortSignal,
): Promise<DesignerReport> {
  const findings = designerFindings(state);
  const report = await reportOf(state, findings, artwork, signal, true);
  const { job, layouts } = state;
  const pages = new Map(artwork.pages.map(({ number, visible }) => [number, visible]));
  const marks = findingMarks(job, layouts, findingsNumbered(findings), pages);
  const identifier = sha256Hex(
    new TextEncoder().encode([artwork.reference.sha256, at, JSON.stringify(marks)].join('\n')),
  ).slice(0, 32);
  const author = job.shop?.name || job.preparedBy || 'Prepress';
  const facts = { author, at, identifier };
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const appended = await annotationsAppended(artwork.artwork, artwork.reference.box, marks, facts, fonts);
  if (appended.ok) return { ...report, appended: appended.value };
  return {
    ...report,
    remarks: [...report.remarks, `${appended.problem.message} ${appended.problem.remedy}`],
  };
}

async function reportOf(
  { job, layouts }: JobState,
  findings: readonly Finding[],
  artwork: ScannedArtwork,
  signal: AbortSignal,
  isForDesigner = false,
): Promise<CheckReport> {
  const missing = new Set<string>();
  const fonts = fontLibraryFromFiles(sheetFontFiles(), (character) => missing.add(character));
  const pictures = await drawSidePictures(job, artwork, signal);
  const sheets = checkReportSheets(job, layouts, findings, artwork.scan, {
    fonts,
    artworkPicture: (side) => pictures.get(side.id),
    isForDesigner,
  });
  // The report says what the program found in these bytes under this job: another of the three, another report.
  const made = [
    PROGRAM_VERSION,
    artwork.reference.sha256,
    jobToJson(job),
    ...(isForDesigner ? ['designer'] : []),
  ].join('\n');
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
