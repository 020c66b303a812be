/** The ticket of a past output, drawn again with what was entered: its drying clock starts when the last panel came off. */
import type { Job } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { colorStrip } from '../../core/output/color-strip.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { layoutsAsWritten } from '../../core/output/reprint-layouts.ts';
import { ScanStore } from '../artwork/scan-store.ts';
import { CoverageStore } from '../ink/coverage-store.ts';
import { measureKnownJob } from '../job/job-state.ts';
import { type ArtworkAt, scannedArtwork } from './kept-artwork.ts';
import { drawOutputSheets, glyphRemarks, type OutputSheet, sheetFonts } from './output-sheets.ts';
import { stateAsPrinted } from './output-strips.ts';
import { stateOfReprint } from './reprint-sheets.ts';
import type { TaskTools } from './task-tools.ts';

export interface TicketAgainRequest {
  /** As it was then. */
  readonly job: Job;
  readonly artwork: ArtworkAt;
  /** Where what was seen of artworks is kept. */
  readonly archiveFolder: string;
  readonly manifest: Manifest;
  /** What was entered of the output. */
  readonly record: ProductionRecord;
  /** Of a reprint: what the first output was made with. */
  readonly firstRecord?: ProductionRecord | undefined;
  readonly logo?: ShopLogo | undefined;
}

export interface TicketAgain {
  readonly sheet: OutputSheet;
  readonly remarks: readonly string[];
}

export async function ticketAgain(
  { job, artwork: at, archiveFolder, manifest, record, firstRecord, logo }: TicketAgainRequest,
  tools: TaskTools,
): Promise<Result<TicketAgain>> {
  const { output, panels } = manifest;
  // Nothing is kept of artwork that needs a password.
  const isKept = at.password === undefined;
  const store = isKept ? new ScanStore(archiveFolder) : undefined;
  const artwork = await scannedArtwork(at, tools, store);
  if (!artwork.ok) return artwork;
  tools.report({ what: 'Drawing the ticket', done: 0, total: 1 });
  const measuring = { ...tools, ...(isKept && { store: new CoverageStore(archiveFolder) }) };
  const isReprint = output.reprint !== undefined;
  const known = isReprint
    ? resultOk(await stateOfReprint(job, manifest, artwork.value, measuring))
    : await measureKnownJob(job, artwork.value, measuring);
  if (!known.ok) return known;
  const layouts = layoutsAsWritten(known.value.layouts, panels);
  const state = stateAsPrinted({ ...known.value, layouts }, manifest.strips);
  const panelIds = new Set(panels.map(({ panelId }) => panelId));
  const hasStrip = manifest.files.some(({ kind }) => kind === 'color-strip');
  const missing = new Set<string>();
  const { sheets } = await drawOutputSheets(
    {
      state,
      artwork: artwork.value,
      kinds: ['ticket'],
      panelIds,
      isReprint,
      output,
      record,
      firstRecord,
      strip: hasStrip ? colorStrip(job, layouts, panelIds) : undefined,
      logo,
    },
    sheetFonts((character) => missing.add(character)),
    tools.signal,
  );
  return resultOk({ sheet: firstOf(sheets), remarks: glyphRemarks(missing) });
}
