/** The sheets of an output drawn again, with what the verification of its panels says. */
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { DrawnKind } from '../../core/output/sheet-kind.ts';
import type { Verdict } from '../../core/output/verdict.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { type CoverageTools, tryCoverage } from '../ink/job-coverage.ts';
import { measureKnownJob } from '../job/job-state.ts';
import { drawOutputSheets, type OutputSheet } from './output-sheets.ts';
import { stateAsPrinted } from './output-strips.ts';
import { drawReprintSheets } from './reprint-sheets.ts';

export interface VerdictSheets {
  /** As it was printed. */
  readonly job: Job;
  /** Of the output. */
  readonly manifest: Manifest;
  readonly isReprint: boolean;
  readonly kinds: readonly DrawnKind[];
  readonly verdict: Verdict;
}

export async function drawVerdictSheets(
  { job, manifest, isReprint, kinds, verdict }: VerdictSheets,
  artwork: OpenedArtwork,
  tools: CoverageTools,
): Promise<Result<readonly OutputSheet[]>> {
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  if (isReprint) {
    const wanted = { job, manifest, artwork, kinds, verdict };
    const drawn = await tryCoverage(() => drawReprintSheets(wanted, fonts, tools));
    return drawn.ok ? resultOk(drawn.value.sheets) : drawn;
  }
  const known = await measureKnownJob(job, artwork, tools);
  if (!known.ok) return known;
  const state = stateAsPrinted(known.value, manifest.strips);
  const written = new Set(manifest.panels.map(({ panelId }) => panelId));
  const isAll = state.layouts.every(({ panels }) => panels.every(({ id }) => written.has(id)));
  const wanted = { state, artwork, kinds, verdict, ...(!isAll && { panelIds: written }) };
  return resultOk((await drawOutputSheets(wanted, fonts, tools.signal)).sheets);
}
