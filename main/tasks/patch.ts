/** A patch of an installed panel: cut from the artwork of its output, with its sheet, label and ticket. */
import { sideLettering } from '../../core/checks/side-lettering.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { layoutWithPatch, type Patch, patchOf } from '../../core/layout/patch.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import type { Rect } from '../../core/measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { OutputMark } from '../../core/output/output-mark.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { ScanStore } from '../artwork/scan-store.ts';
import { jobKnown } from '../job/job-state.ts';
import { type StagedOutput, stageJobOutput } from './job-output.ts';
import { type ArtworkAt, scannedArtwork } from './kept-artwork.ts';
import type { TaskTools } from './task-tools.ts';

export interface PatchPlace {
  /** As it was when the panel was written. */
  readonly job: Job;
  readonly artwork: ArtworkAt;
  /** Where what was seen of artworks is kept. */
  readonly archiveFolder: string;
  readonly panelId: string;
  /** Finished mm on the side. */
  readonly damage: Rect<'finished'>;
  readonly number: number;
  /** The vehicle that it is for, where the job has several. */
  readonly unitNumber?: string | undefined;
}

export interface PatchRequest extends PatchPlace {
  readonly sheets: readonly SheetKind[];
  readonly jobFolder: string;
  readonly output: OutputMark;
  readonly logo?: ShopLogo | undefined;
  readonly firstRecord?: ProductionRecord | undefined;
}

export interface StagedPatch extends StagedOutput {
  readonly patch: Patch;
}

/** Problems: `patch-outside`, `panel-unknown`, those of the artwork, of the cut and of files, `cancelled`. */
export async function patch(request: PatchRequest, tools: TaskTools): Promise<Result<StagedPatch>> {
  const placed = await placedPatch(request, tools);
  if (!placed.ok) return placed;
  const { patch, layouts, artwork, job } = placed.value;
  const known = jobKnown(job, artwork);
  const state = { ...known, layouts, findings: [], blocking: [] };
  const { jobFolder, sheets, output, logo, firstRecord, archiveFolder } = request;
  const staged = await stageJobOutput(
    {
      state,
      artwork,
      jobFolder,
      panelIds: new Set([patch.id]),
      sheets,
      output,
      logo,
      firstRecord,
      archiveFolder,
    },
    tools,
  );
  return staged.ok ? resultOk({ ...staged.value, patch }) : staged;
}

/** Where a patch would lie. */
export async function patchPlan(request: PatchPlace, tools: TaskTools): Promise<Result<Patch>> {
  const placed = await placedPatch(request, tools);
  return placed.ok ? resultOk(placed.value.patch) : placed;
}

interface PlacedPatch {
  readonly patch: Patch;
  readonly job: Job;
  /** With the patch among the panels of its side. */
  readonly layouts: readonly SideLayout[];
  readonly artwork: OpenedArtwork;
}

async function placedPatch(request: PatchPlace, tools: TaskTools): Promise<Result<PlacedPatch>> {
  const { archiveFolder, panelId, damage, number, unitNumber } = request;
  const store = request.artwork.password === undefined ? new ScanStore(archiveFolder) : undefined;
  const artwork = await scannedArtwork(request.artwork, tools, store);
  if (!artwork.ok) return artwork;
  const { job, layouts } = jobKnown(jobOfReprint(request.job, unitNumber), artwork.value);
  const layout = layouts.find(({ panels }) => panels.some(({ id }) => id === panelId));
  if (!layout)
    return resultProblem({
      code: 'panel-unknown',
      message: `The job of that output has no panel ${panelId}.`,
      remedy: 'Select a panel of the output.',
    });
  const lettering = letteringOn(job, layout.side, artwork.value);
  const patch = patchOf(job, layout, { panelId, damage, number }, lettering);
  if (!patch.ok) return patch;
  const withPatch = layouts.map((each) => (each === layout ? layoutWithPatch(layout, patch.value) : each));
  return resultOk({ patch: patch.value, job, layouts: withPatch, artwork: artwork.value });
}

/** What was found in the artwork, and what was framed by hand. */
function letteringOn(job: Job, side: Side, { scan }: OpenedArtwork): Rect<'finished'>[] {
  const page = scan?.pages.find(({ number }) => number === side.page);
  return [
    ...(page ? sideLettering(job, side, page).map(({ rect }) => rect) : []),
    ...side.noSeamAreas.map(({ rect }) => rectFromStored<'finished'>(rect)),
  ];
}
