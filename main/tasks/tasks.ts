/**
 * Tasks that take longer than a moment, as functions of plain values, so that they can run on a separate thread. Each
 * reports progress and stops when canceled. A check is the most frequent task, so what only the others need is loaded
 * by them.
 */

import type { ArtworkFacts, ArtworkOutlines, ArtworkPageFacts } from '../../core/contract/verbs-artwork.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { jobOnFilm } from '../../core/job/job-films.ts';
import type { ArtworkFile, Job } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import { layoutsOnFilm } from '../../core/layout/film-layouts.ts';
import type { Patch } from '../../core/layout/patch.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import type { OutputPanels } from '../../core/output/older-outputs.ts';
import type { OutputMark } from '../../core/output/output-mark.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import type { DrawnKind, SheetKind } from '../../core/output/sheet-kind.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import { type JobProduction, jobProduction } from '../../core/production/job-production.ts';
import type { OutputRolls } from '../../core/production/output-rolls.ts';
import type { ReprintFilm } from '../../core/production/reprint-film.ts';
import type { RollOffers } from '../../core/production/roll-offers.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import type { WeekJob } from '../../core/production/week-job.ts';
import type { PlanAnswer } from '../../core/seams/plan-answer.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import { pageExtents, readFirstPage } from '../artwork/artwork-file.ts';
import { ScanStore } from '../artwork/scan-store.ts';
import { CoverageStore } from '../ink/coverage-store.ts';
import { type CoverageTools, jobCoverage, tryCoverage } from '../ink/job-coverage.ts';
import { jobKnown, jobState, measureJobState, measureKnownJob } from '../job/job-state.ts';
import { withKeptNestings } from '../job/kept-nestings.ts';
import type { FolderToVerify } from '../verify/verification-task.ts';
import { artworkFacts, pageFacts } from './artwork-facts.ts';
import type { CheckReport, DesignerReport } from './check-report.ts';
import type { StagedOutput } from './job-output.ts';
import { type ArtworkAt, keptArtwork, scannedArtwork } from './kept-artwork.ts';
import { nestingWatched } from './nesting-watched.ts';
import type { FillPath } from './output-request.ts';
import type { OutputSheet } from './output-sheets.ts';
import type { GuideFiles, GuideRequest } from './panel-guides.ts';
import type { PanelPreview } from './panel-preview.ts';
import type { PatchPlace, PatchRequest, StagedPatch } from './patch.ts';
import type { ReprintRequest, StagedReprint } from './reprint.ts';
import type { RollLabelsRequest } from './roll-labels.ts';
import type { SeamPlanRequest } from './seam-plan.ts';
import type { SharedPlanRequest } from './shared-roll-plan.ts';
import type { TaskTools } from './task-tools.ts';
import type { TicketAgain, TicketAgainRequest } from './ticket-again.ts';

/** Where results derived from an artwork are stored. */
interface Keeping {
  readonly artwork: ArtworkAt;
  readonly archiveFolder?: string;
}

const keeping = (tools: TaskTools, keeping: Keeping): CoverageTools => {
  const folder = keepingFolder(keeping);
  return { ...tools, store: folder === undefined ? undefined : new CoverageStore(folder) };
};

function scanStore(keeping: Keeping): ScanStore | undefined {
  const folder = keepingFolder(keeping);
  return folder === undefined ? undefined : new ScanStore(folder);
}

/** Nothing is stored for artwork that needs a password. */
const keepingFolder = ({ artwork, archiveFolder }: Keeping): string | undefined =>
  artwork.password === undefined ? archiveFolder : undefined;

export interface CheckedJob {
  /** Most serious first. */
  readonly findings: readonly Finding[];
  /** Findings that block the writing of panels. */
  readonly blocking: readonly Finding[];
}

export const TASKS = {
  /** The film that panels of a past output need again. */
  async reprintFilm({
    job,
    panels,
  }: {
    readonly job: Job;
    readonly panels: readonly ManifestPanel[];
  }): Promise<Result<ReprintFilm>> {
    return resultOk((await import('../../core/production/reprint-film.ts')).reprintFilm(job, panels));
  },

  /** The film and laminate that an output takes, roll by roll. */
  async outputRolls(
    {
      job,
      panels,
      hasColorStrip,
      archiveFolder,
    }: {
      readonly job: Job;
      readonly panels: readonly ManifestPanel[];
      readonly hasColorStrip: boolean;
      readonly archiveFolder: string;
    },
    tools: TaskTools,
  ): Promise<Result<OutputRolls>> {
    const { outputRolls } = await import('../../core/production/output-rolls.ts');
    return await withKeptNestings(archiveFolder, job.artwork, () =>
      nestingWatched(tools, (look) => outputRolls(job, panels, { hasColorStrip, look })),
    );
  },

  /** Rolls of the shelf that the panels on a film of a job can be printed on and laminated with. */
  async rollOffers(
    {
      job,
      filmId,
      stock,
      archiveFolder,
    }: {
      readonly job: Job;
      readonly filmId: string;
      readonly stock: readonly StockRoll[];
      readonly archiveFolder: string;
    },
    tools: TaskTools,
  ): Promise<Result<RollOffers>> {
    const { rollOffers } = await import('../../core/production/roll-offers.ts');
    return await withKeptNestings(archiveFolder, job.artwork, () =>
      nestingWatched(tools, (look) =>
        rollOffers(jobOnFilm(job, filmId), filmId, layoutsOnFilm(job, jobLayout(job), filmId), stock, look),
      ),
    );
  },

  /** Labels of rolls of the shelf as PDF. */
  async rollLabels(request: RollLabelsRequest): Promise<Result<Uint8Array>> {
    return resultOk(await (await import('./roll-labels.ts')).rollLabelsPdf(request));
  },

  /** With `isBrief` the pages are listed but not scanned. */
  async artworkFacts(
    {
      isBrief = false,
      archiveFolder,
      ...artwork
    }: ArtworkAt & { readonly isBrief?: boolean; readonly archiveFolder?: string },
    tools: TaskTools,
  ): Promise<Result<ArtworkFacts>> {
    tools.report({ what: 'Reading the artwork', done: 0, total: 1 });
    const store = scanStore({ artwork, ...(archiveFolder !== undefined && { archiveFolder }) });
    const opened = await (isBrief
      ? keptArtwork(artwork, tools, store)
      : scannedArtwork(artwork, tools, store));
    return opened.ok ? resultOk(artworkFacts(opened.value)) : opened;
  },

  /** The first page of an artwork that has not been read whole; undefined where none can be used. */
  async artworkFirstPage({ path, ...options }: ArtworkAt): Promise<Result<ArtworkPageFacts | undefined>> {
    const page = await readFirstPage(path, options);
    return page.ok ? resultOk(page.value && pageFacts(page.value)) : page;
  },

  /** The paths of a page or of a layer of it. */
  async outlines(
    { page, layer, ...artwork }: ArtworkAt & { readonly page: number; readonly layer?: string },
    tools: TaskTools,
  ): Promise<Result<ArtworkOutlines>> {
    const opened = await keptArtwork(artwork, tools);
    if (!opened.ok) return opened;
    const { outlinesOfPage } = await import('./outlines-of-page.ts');
    return await outlinesOfPage(opened.value, { page, layer }, tools);
  },

  /** All findings about a job, which may have no artwork yet. */
  async check(
    request: { readonly job: Job; readonly outputs?: readonly OutputPanels[] } & Partial<Keeping>,
    tools: TaskTools,
  ): Promise<Result<CheckedJob>> {
    const { job, artwork, outputs } = request;
    const opened = artwork && (await scannedArtwork(artwork, tools, scanStore({ ...request, artwork })));
    if (opened && !opened.ok) return opened;
    const coverage = artwork ? keeping(tools, { ...request, artwork }) : tools;
    const state = await withKeptNestings(request.archiveFolder, opened?.value.reference, () =>
      measureJobState(job, opened?.value, coverage, outputs),
    );
    if (!state.ok) return state;
    const { findings, blocking } = state.value;
    return resultOk({ findings, blocking });
  },

  /** What the checks say, with a picture of each side. */
  async report(request: { readonly job: Job } & Keeping, tools: TaskTools): Promise<Result<CheckReport>> {
    const opened = await scannedArtwork(request.artwork, tools, scanStore(request));
    if (!opened.ok) return opened;
    const { checkReport } = await import('./check-report.ts');
    const state = await withKeptNestings(request.archiveFolder, opened.value.reference, () =>
      jobState(request.job, opened.value),
    );
    return resultOk(await checkReport(state, opened.value, tools.signal));
  },

  /** What the designer can correct in the artwork, as a report and as remarks for a copy of it. */
  async designerReport(
    request: { readonly job: Job; readonly at: string } & Keeping,
    tools: TaskTools,
  ): Promise<Result<DesignerReport>> {
    const opened = await scannedArtwork(request.artwork, tools, scanStore(request));
    if (!opened.ok) return opened;
    const { designerReport } = await import('./check-report.ts');
    const state = await withKeptNestings(request.archiveFolder, opened.value.reference, () =>
      jobState(request.job, opened.value),
    );
    return resultOk(await designerReport(state, opened.value, request.at, tools.signal));
  },

  /** Sheets of the job as PDF, without writing them anywhere. */
  async sheets(
    request: {
      readonly job: Job;
      readonly kinds: readonly DrawnKind[];
      readonly logo?: ShopLogo | undefined;
    } & Partial<Keeping>,
    tools: TaskTools,
  ): Promise<Result<{ readonly sheets: readonly OutputSheet[]; readonly remarks: readonly string[] }>> {
    const { job, kinds, artwork, logo } = request;
    tools.report({
      what: kinds.length === 1 ? 'Drawing the sheet' : 'Drawing the sheets',
      done: 0,
      total: 1,
    });
    // Only the ticket shows findings and the drying time of the ink; a quote counts the ink.
    const isWhole = kinds.includes('ticket') || kinds.includes('quote');
    const found = artwork && { ...request, artwork };
    const opened =
      found &&
      (await (isWhole || kinds.includes('proof') || kinds.includes('seams')
        ? scannedArtwork(found.artwork, tools, scanStore(found))
        : keptArtwork(found.artwork, tools, scanStore(found))));
    if (opened && !opened.ok) return opened;
    const known =
      isWhole && found && opened
        ? await measureKnownJob(job, opened.value, keeping(tools, found))
        : resultOk(jobKnown(job, opened?.value));
    if (!known.ok) return known;
    const { drawOutputSheets, glyphRemarks, pictureRemarks, sheetFonts } = await import('./output-sheets.ts');
    const missing = new Set<string>();
    const fonts = sheetFonts((character) => missing.add(character));
    const { archiveFolder } = request;
    const wanted = { state: known.value, artwork: opened?.value, kinds, logo, archiveFolder };
    const drawn = await withKeptNestings(archiveFolder, opened?.value.reference, () =>
      drawOutputSheets(wanted, fonts, tools.signal),
    );
    const remarks = [...pictureRemarks(drawn), ...glyphRemarks(missing)];
    return resultOk({ sheets: drawn.sheets, remarks });
  },

  /** Panel guides for the designer. */
  async guide(request: GuideRequest, tools: TaskTools): Promise<Result<GuideFiles>> {
    return await (await import('./panel-guides.ts')).panelGuides(request, tools);
  },

  /** One panel as it would be written now. */
  async panel(
    { job, panelId, artwork, ...rest }: { readonly job: Job; readonly panelId: string } & Keeping,
    tools: TaskTools,
  ): Promise<Result<PanelPreview>> {
    const opened = await keptArtwork(artwork, tools, scanStore({ artwork, ...rest }));
    if (!opened.ok) return opened;
    const { panelPreview } = await import('./panel-preview.ts');
    return await panelPreview(job, panelId, opened.value, tools);
  },

  async plan(
    request: SeamPlanRequest & { readonly artwork?: ArtworkAt },
    tools: TaskTools,
  ): Promise<Result<PlanAnswer>> {
    const opened = request.artwork && (await keptArtwork(request.artwork, tools));
    if (opened && !opened.ok) return opened;
    const { seamPlan } = await import('./seam-plan.ts');
    return await seamPlan(request, opened?.value, tools);
  },

  async production(
    {
      job,
      measured,
      archiveFolder,
    }: { readonly job: Job; readonly measured?: MeasuredCoverage; readonly archiveFolder?: string },
    tools: TaskTools,
  ): Promise<Result<JobProduction>> {
    return await withKeptNestings(archiveFolder, job.artwork, () =>
      nestingWatched(tools, (look) => jobProduction(job, jobLayout(job), measured, look)),
    );
  },

  /** The work of a job on printers, laminator and bay. Its ink is computed if that was not done before. */
  async weekJob(
    {
      job,
      record,
      ...request
    }: { readonly job: Job; readonly record?: ProductionRecord | undefined } & Partial<Keeping>,
    tools: TaskTools,
  ): Promise<Result<WeekJob>> {
    const { artwork, archiveFolder } = request;
    const found = artwork && { ...request, artwork };
    const opened = found && (await keptArtwork(found.artwork, tools, scanStore(found)));
    const known =
      found && opened?.ok
        ? await measureKnownJob(job, opened.value, keeping(tools, found))
        : resultOk(jobKnown(job, undefined));
    if (!known.ok) return known;
    const { layouts, measured } = known.value;
    const { weekJob } = await import('../../core/production/week-job.ts');
    return await withKeptNestings(archiveFolder, job.artwork, () =>
      nestingWatched(tools, (look) => weekJob(job, jobProduction(job, layouts, measured, look), record)),
    );
  },

  /** Several jobs on the rolls of one film. */
  async sharedRolls(request: SharedPlanRequest, tools: TaskTools): Promise<Result<SharedRolls>> {
    const { sharedPlan } = await import('./shared-roll-plan.ts');
    return sharedPlan(request, tools);
  },

  /** The same on each film that they have in common. */
  async sharedRollsOfFilms(
    request: SharedPlanRequest,
    tools: TaskTools,
  ): Promise<Result<readonly SharedRolls[]>> {
    const { sharedPlans } = await import('./shared-roll-plan.ts');
    return sharedPlans(request, tools);
  },

  /** The sheet of several jobs on the rolls of their films, as PDF. */
  async sharedRollSheet(
    request: SharedPlanRequest,
    tools: TaskTools,
  ): Promise<Result<{ readonly films: readonly SharedRolls[]; readonly bytes: Uint8Array }>> {
    const { sharedPlans, sharedPlanPdf } = await import('./shared-roll-plan.ts');
    const films = sharedPlans(request, tools);
    if (!films.ok) return films;
    tools.report({ what: 'Drawing the sheet', done: 0, total: 1 });
    return resultOk({ films: films.value, bytes: await sharedPlanPdf(request.jobs, films.value) });
  },

  /** Ink coverage of every panel, from the artwork. */
  async coverage(
    request: { readonly job: Job } & Keeping,
    tools: TaskTools,
  ): Promise<Result<MeasuredCoverage>> {
    const { job, artwork } = request;
    tools.report({ what: 'Reading the artwork', done: 0, total: 1 });
    const opened = await keptArtwork(artwork, tools, scanStore(request));
    if (!opened.ok) return opened;
    const layouts = jobLayout(job, pageExtents(opened.value.pages));
    return tryCoverage(() => jobCoverage(job, layouts, opened.value, keeping(tools, request)));
  },

  async output(
    request: {
      readonly job: Job;
      readonly jobFolder: string;
      readonly panelIds?: readonly string[];
      readonly sheets: readonly SheetKind[];
      readonly output: OutputMark;
      readonly logo?: ShopLogo | undefined;
      readonly fillPaths?: readonly FillPath[];
    } & Keeping,
    tools: TaskTools,
  ): Promise<Result<StagedOutput>> {
    const { artwork: at, jobFolder, sheets, panelIds, output, logo, fillPaths } = request;
    const artwork = await scannedArtwork(at, tools, scanStore(request));
    if (!artwork.ok) return artwork;
    const state = await withKeptNestings(request.archiveFolder, artwork.value.reference, () =>
      measureJobState(request.job, artwork.value, keeping(tools, request)),
    );
    if (!state.ok) return state;
    const wanted = {
      jobFolder,
      sheets,
      output,
      logo,
      fillPaths,
      archiveFolder: request.archiveFolder,
      ...(panelIds && { panelIds: new Set(panelIds) }),
    };
    const { stageJobOutput } = await import('./job-output.ts');
    return await stageJobOutput({ ...wanted, state: state.value, artwork: artwork.value }, tools);
  },

  async patch(request: PatchRequest, tools: TaskTools): Promise<Result<StagedPatch>> {
    const { patch } = await import('./patch.ts');
    return await patch(request, tools);
  },

  async patchPlan(request: PatchPlace, tools: TaskTools): Promise<Result<Patch>> {
    const { patchPlan } = await import('./patch.ts');
    return await patchPlan(request, tools);
  },

  async ticketAgain(request: TicketAgainRequest, tools: TaskTools): Promise<Result<TicketAgain>> {
    const { ticketAgain } = await import('./ticket-again.ts');
    return await ticketAgain(request, tools);
  },

  async reprint(request: ReprintRequest, tools: TaskTools): Promise<Result<StagedReprint>> {
    const { reprint } = await import('./reprint.ts');
    return await reprint(request, tools);
  },

  /** Several PDFs as one; says of each what it was. */
  async artworksJoined(
    { artworks, to }: { readonly artworks: readonly ArtworkAt[]; readonly to: string },
    { signal, report }: TaskTools,
  ): Promise<Result<ArtworkFile[]>> {
    const { artworksJoined: joined } = await import('../artwork/artworks-joined.ts');
    return await joined(
      { files: artworks, to },
      {
        signal,
        onFile: (fileName, done) => report({ what: `Reading ${fileName}`, done, total: artworks.length }),
      },
    );
  },

  /** Compares the artwork of a job with its replacement. */
  async comparison(
    {
      job,
      artwork,
      corrected,
    }: { readonly job: Job; readonly artwork: ArtworkAt; readonly corrected: ArtworkAt },
    tools: TaskTools,
  ): Promise<Result<ArtworkComparison>> {
    const before = await keptArtwork(artwork, tools);
    if (!before.ok) return before;
    const after = await keptArtwork(corrected, tools);
    if (!after.ok) return after;
    const { compareArtworks } = await import('../compare/artwork-comparison.ts');
    return await compareArtworks({ job, artworks: [before.value, after.value] }, tools);
  },

  /** Verifies the files in a folder against its manifest and the artwork. */
  async verification(
    request: FolderToVerify & { readonly artwork: ArtworkAt },
    tools: TaskTools,
  ): Promise<Result<VerificationReport>> {
    const opened = await keptArtwork(request.artwork, tools);
    if (!opened.ok) return opened;
    const { verifyFolder } = await import('../verify/verification-task.ts');
    return await verifyFolder(request, opened.value, tools);
  },
};

export type TaskName = keyof typeof TASKS;
export type TaskRequest<N extends TaskName> = Parameters<(typeof TASKS)[N]>[0];
export type TaskResult<N extends TaskName> = Awaited<ReturnType<(typeof TASKS)[N]>>;
