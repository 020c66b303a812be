/**
 * Work that takes longer than a blink, as plain functions of plain values, so that it can run on a thread of
 * its own. Each reports progress and stops when told.
 */

import { pageRemarks } from '../../core/checks/page-remarks.ts';
import type { ArtworkScan } from '../../core/checks/scan/schema.ts';
import type { ArtworkFacts, ArtworkPageFacts } from '../../core/contract/verbs-artwork.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { type ArtworkPage, PAGE_BOXES } from '../../core/pdf/document/artwork.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import { type JobProduction, jobProduction } from '../../core/production/job-production.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import type { PlanAnswer } from '../../core/seams/plan-answer.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import {
  artworkFirstPage,
  artworkOpened,
  artworkScanned,
  type OpenedArtwork,
  pageExtents,
} from '../artwork/artwork-file.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { CoverageStore } from '../ink/coverage-store.ts';
import { type CoverageTools, coverageTried, jobCoverage } from '../ink/job-coverage.ts';
import { jobKnown, jobKnownMeasured, jobStateMeasured } from '../job/job-state.ts';
import { type FolderToVerify, verifyFolder } from '../verify/verification-task.ts';
import { jobOutput, type Output } from './job-output.ts';
import { type DrawnKind, type OutputSheet, outputSheets } from './output-sheets.ts';
import { type SeamPlanRequest, seamPlan } from './seam-plan.ts';
import { type SharedPlanRequest, sharedPlan, sharedPlanPdf } from './shared-roll-plan.ts';
import type { TaskTools } from './task-tools.ts';

export interface ArtworkAt {
  readonly path: string;
  readonly fileName: string;
  readonly box: PageBox;
  readonly password?: string;
}

/** Where coverage is kept once it is computed. */
interface Keeping {
  readonly artwork: ArtworkAt;
  readonly archiveFolder?: string;
}

/** Nothing is kept of artwork that needs a password. */
function keeping(tools: TaskTools, { artwork, archiveFolder }: Keeping): CoverageTools {
  const isKept = archiveFolder !== undefined && artwork.password === undefined;
  return { ...tools, store: isKept ? new CoverageStore(archiveFolder) : undefined };
}

export const TASKS = {
  /** With `isBrief` the pages are listed but not looked through. */
  async artworkFacts(
    { isBrief = false, ...request }: ArtworkAt & { readonly isBrief?: boolean },
    { report }: TaskTools,
  ): Promise<Result<ArtworkFacts>> {
    report({ what: 'Reading the artwork', done: 0, total: 1 });
    const opened = await (isBrief ? artworkKept(request) : artworkKeptScanned(request, report));
    return opened.ok ? resultOk(artworkFacts(opened.value)) : opened;
  },

  /** The first page of an artwork that has not been read whole; undefined where none can be used. */
  async artworkFirstPage({ path, ...options }: ArtworkAt): Promise<Result<ArtworkPageFacts | undefined>> {
    const page = await artworkFirstPage(path, options);
    return page.ok ? resultOk(page.value && pageFacts(page.value)) : page;
  },

  /** One sheet of the job as PDF, without writing it anywhere. */
  async sheet(
    request: { readonly job: Job; readonly kind: DrawnKind } & Keeping,
    tools: TaskTools,
  ): Promise<Result<OutputSheet>> {
    tools.report({ what: 'Drawing the sheet', done: 0, total: 1 });
    const opened = await artworkKept(request.artwork);
    if (!opened.ok) return opened;
    const fonts = fontLibraryFromFiles(sheetFontFiles());
    const { job, kind } = request;
    const known =
      kind === 'ticket'
        ? await jobKnownMeasured(job, opened.value, keeping(tools, request))
        : resultOk(jobKnown(job, opened.value));
    if (!known.ok) return known;
    const drawn = await outputSheets(
      { state: known.value, artwork: opened.value, kinds: [kind] },
      fonts,
      tools.signal,
    );
    return resultOk(drawn.sheets[0]!);
  },

  async plan(
    request: SeamPlanRequest & { readonly artwork?: ArtworkAt },
    tools: TaskTools,
  ): Promise<Result<PlanAnswer>> {
    const opened = request.artwork && (await artworkKept(request.artwork));
    if (opened && !opened.ok) return opened;
    return await seamPlan(request, opened?.value, tools);
  },

  async production(
    { job, measured }: { readonly job: Job; readonly measured?: MeasuredCoverage },
    { report }: TaskTools,
  ): Promise<Result<JobProduction>> {
    report({ what: 'Planning the rolls', done: 0, total: 1 });
    return resultOk(jobProduction(job, jobLayout(job), measured));
  },

  /** Several jobs on the rolls of one film. */
  async sharedRolls(request: SharedPlanRequest, tools: TaskTools): Promise<Result<SharedRolls>> {
    return sharedPlan(request, tools);
  },

  /** The sheet of several jobs on one film, as PDF. */
  async sharedRollSheet(request: SharedPlanRequest, tools: TaskTools): Promise<Result<Uint8Array>> {
    const shared = sharedPlan(request, tools);
    if (!shared.ok) return shared;
    tools.report({ what: 'Drawing the sheet', done: 0, total: 1 });
    return resultOk(await sharedPlanPdf(request.jobs, shared.value));
  },

  /** Ink coverage of every panel, from the artwork. */
  async coverage(
    request: { readonly job: Job } & Keeping,
    tools: TaskTools,
  ): Promise<Result<MeasuredCoverage>> {
    const { job, artwork } = request;
    tools.report({ what: 'Reading the artwork', done: 0, total: 1 });
    const opened = await artworkKept(artwork);
    if (!opened.ok) return opened;
    const layouts = jobLayout(job, pageExtents(opened.value.pages));
    return coverageTried(() => jobCoverage(job, layouts, opened.value, keeping(tools, request)));
  },

  async output(
    request: {
      readonly job: Job;
      readonly folder: string;
      readonly panelIds?: readonly string[];
      readonly sheets: readonly SheetKind[];
    } & Keeping,
    tools: TaskTools,
  ): Promise<Result<Output>> {
    const opened = await artworkKeptScanned(request.artwork, tools.report);
    if (!opened.ok) return opened;
    const state = await jobStateMeasured(request.job, opened.value, keeping(tools, request));
    if (!state.ok) return state;
    return await jobOutput(
      {
        state: state.value,
        artwork: opened.value,
        folder: request.folder,
        sheets: request.sheets,
        ...(request.panelIds && { panelIds: new Set(request.panelIds) }),
      },
      tools,
    );
  },

  /** Verifies what lies in a folder against its manifest and the artwork. */
  async verification(
    request: FolderToVerify & { readonly artwork: ArtworkAt },
    tools: TaskTools,
  ): Promise<Result<VerificationReport>> {
    const opened = await artworkKept(request.artwork);
    return opened.ok ? await verifyFolder(request, opened.value, tools) : opened;
  },
};

export type TaskName = keyof typeof TASKS;
export type TaskRequest<N extends TaskName> = Parameters<(typeof TASKS)[N]>[0];
export type TaskResult<N extends TaskName> = Awaited<ReturnType<(typeof TASKS)[N]>>;

/** The last artwork stays open: an operator asks for its facts, then for pictures, then for panels. */
let last: { readonly key: string; readonly opened: OpenedArtwork } | undefined;

async function artworkKept(at: ArtworkAt): Promise<Result<OpenedArtwork>> {
  const key = JSON.stringify(at);
  if (last?.key === key) return resultOk(last.opened);
  last = undefined;
  const opened = await artworkOpened(at.path, at);
  if (opened.ok) last = { key, opened: opened.value };
  return opened;
}

/** What artworks hold, by hash and box: looking through them is slow, what was seen is small. */
const scans = new Map<string, ArtworkScan>();
const MAX_SCANS = 16;

/** Looked through as well, once for each file. */
async function artworkKeptScanned(
  at: ArtworkAt,
  report: TaskTools['report'],
): Promise<Result<OpenedArtwork>> {
  const opened = await artworkKept(at);
  if (!opened.ok) return opened;
  const { sha256, box } = opened.value.reference;
  const key = `${sha256} ${box}`;
  const known = scans.get(key);
  if (known) return resultOk({ ...opened.value, scan: known });
  const scanned = await artworkScanned(opened.value, async (done, total) => {
    report({ what: `Checking page ${done + 1} of the artwork`, done, total });
    await yieldToOthers();
  });
  scans.set(key, scanned.scan);
  const [oldest] = scans.keys();
  if (scans.size > MAX_SCANS && oldest !== undefined) scans.delete(oldest);
  return resultOk(scanned);
}

/** Other questions to this thread get their turn between pages. */
const yieldToOthers = () => new Promise((resolve) => setImmediate(resolve));

export function artworkFacts(opened: OpenedArtwork): ArtworkFacts {
  return {
    reference: opened.reference,
    ...(opened.scan && { scan: opened.scan }),
    pages: opened.pages.map(pageFacts),
    remarks: pageRemarks(opened),
    problems: [...opened.pageProblems].map(([page, { code, message, remedy }]) => ({
      page,
      code,
      message,
      remedy,
    })),
  };
}

function pageFacts(page: ArtworkPage): ArtworkPageFacts {
  return {
    number: page.number,
    extent: storedFromRect(page.visible),
    boxes: Object.fromEntries(
      PAGE_BOXES.map((box) => [box, storedFromRect(page.boxes[box])]),
    ) as ArtworkPageFacts['boxes'],
    rotate: page.rotation,
    userUnit: page.userUnit,
  };
}
