/** An output: panels, install map and manifest of a job, made ready together or not at all. */
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { panelCutFromLayout, panelShownText, panelWindow } from '../../core/cut/panel-cut.ts';
import { enlargement } from '../../core/cut/panel-geometry.ts';
import type { FontLibrary } from '../../core/drawing/font-library.ts';
import { contourLayer } from '../../core/exchange/contour-layer.ts';
import { panelContours } from '../../core/exchange/contours.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { isFileMirrored } from '../../core/job/film-base.ts';
import { hasSeveralFilms, jobFilm, jobOnFilm } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { type Panel, panelOutline } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { firstOf, itemAt, present } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { panelFileName } from '../../core/output/file-name.ts';
import { layoutText } from '../../core/output/layout-text.ts';
import {
  MANIFEST_SCHEMA,
  MANIFEST_VERSION,
  Manifest,
  type ManifestFill,
  type ManifestPanel,
  type ManifestStrip,
} from '../../core/output/manifest.ts';
import { isDrawnKind } from '../../core/output/sheet-kind.ts';
import { VERDICT_WORDS } from '../../core/output/verdict.ts';
import { isDrawnBeside } from '../artwork/artwork-file.ts';
import { cutPanelFiles, type PanelFile, type PanelToCut } from '../cut/panel-files.ts';
import { packingCodec } from '../cut/zlib.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { sha256Hex } from '../files/sha256.ts';
import { MANIFEST_NAME, PANELS_FOLDER, type StagedFolder, stageTogether } from '../files/staged-folder.ts';
import { contourInk, writeDataFiles } from './data-files.ts';
import { filesListed } from './files-listed.ts';
import { stageFill } from './output-fill.ts';
import type { OutputRequest } from './output-request.ts';
import {
  drawMapPictures,
  drawOutputSheets,
  glyphRemarks,
  pictureRemarks,
  type SheetsRequest,
  sheetFonts,
} from './output-sheets.ts';
import { stateAsPrinted, writeOutputStrips } from './output-strips.ts';
import type { TaskTools } from './task-tools.ts';

export interface StagedOutput {
  /** Where its files are until the output gets its number and folder. */
  readonly staged: string;
  readonly manifest: Manifest;
  readonly files: readonly OutputFile[];
  /** What was found, and did not block it. */
  readonly findings: readonly Finding[];
  /** Sentences for the person who started the output. */
  readonly remarks: readonly string[];
}

/** Why nothing was written although the input was readable: findings that stop, or that are not acknowledged. */
export interface OutputBlocked extends Problem<'output-blocked'> {
  readonly findings: readonly Finding[];
}

interface PanelToWrite {
  readonly layout: SideLayout;
  readonly panel: Panel;
}

/** Prepares the files of an output. Problems: `output-blocked`, those of the cut and of files, `cancelled`. */
export async function stageJobOutput(
  request: OutputRequest,
  tools: TaskTools,
): Promise<Result<StagedOutput, Problem | OutputBlocked>> {
  const { state, jobFolder } = request;
  if (state.blocking.length > 0) return resultProblem(outputBlocked(state.blocking));
  return await stageTogether(jobFolder, (staged) => stageWithPictures(request, staged, tools));
}

/** The pictures of the map are drawn while the panels are cut. */
async function stageWithPictures(
  request: OutputRequest,
  staged: StagedFolder,
  tools: TaskTools,
): Promise<Result<StagedOutput, Problem>> {
  const { state, artwork, sheets } = request;
  if (!isDrawnBeside(artwork)) return await stageOutput(request, undefined, staged, tools);
  const ending = new AbortController();
  const signal = AbortSignal.any([tools.signal, ending.signal]);
  const pictures = drawMapPictures({ state, artwork, kinds: sheets.filter(isDrawnKind) }, signal);
  const isDrawn = pictures.catch(() => undefined);
  try {
    return await stageOutput(request, pictures, staged, tools);
  } finally {
    ending.abort();
    await isDrawn;
  }
}

async function stageOutput(
  request: OutputRequest,
  pictures: SheetsRequest['pictures'],
  staged: StagedFolder,
  tools: TaskTools,
): Promise<Result<StagedOutput, Problem>> {
  const { signal, report } = tools;
  const { artwork } = request;
  const { job, layouts } = request.state;
  const missingGlyphs = new Set<string>();
  const fonts = sheetFonts((character) => missingGlyphs.add(character));
  const toWrite = panelsToWrite(layouts, request.panelIds);
  const drawnKinds = request.sheets.filter(isDrawnKind);
  const remarks: string[] = [];
  signal.throwIfAborted();
  const what = `Cutting ${toWrite.length === 1 ? firstOf(toWrite).panel.label : `${toWrite.length} panels`}`;
  const written = await cutPanelFiles(
    artwork.artwork,
    artwork.reference.sha256,
    toWrite.map(({ layout, panel }) =>
      panelToCut(job, layout, panel, fonts, { contourInk: panelContourInk(request) }),
    ),
    staged,
    { signal, report: (done, total) => report({ what, done: done / Math.max(1, total), total: 1 }) },
  );
  if (!written.ok) return written;
  const panels = toWrite.map((item, i) => manifestPanel(request, item, itemAt(written.value, i)));
  const files: OutputFile[] = toWrite.map(({ panel }, i) => {
    const { name, sha256, sizeBytes } = itemAt(written.value, i);
    return { name, kind: 'panel', panelId: panel.id, panelLabel: panel.label, sha256, sizeBytes };
  });
  const fill = await stageFill(request, staged, signal);
  if (!fill.ok) return fill;
  const strips = await writeOutputStrips(request, { panels, files }, fill.value, staged, tools);
  if (!strips.ok) return strips;
  files.push(...strips.value.files, ...fill.value.files);
  remarks.push(...strips.value.remarks);
  if (drawnKinds.length > 0) {
    signal.throwIfAborted();
    report({ what: 'Drawing the sheets', done: 0, total: 1 });
    const { panelIds } = request;
    const state = stateAsPrinted(request.state, strips.value.strips);
    const wanted = {
      state,
      artwork,
      pictures,
      kinds: drawnKinds,
      output: request.output,
      logo: request.logo,
      firstRecord: request.firstRecord,
      archiveFolder: request.archiveFolder,
      ...(panelIds && { panelIds }),
    };
    const drawn = await drawOutputSheets(wanted, fonts, signal);
    for (const { kind, name, bytes } of drawn.sheets) {
      files.push({ name, kind, ...(await staged.write(name, bytes)) });
    }
    remarks.push(...pictureRemarks(drawn));
  }
  signal.throwIfAborted();
  const listing = () =>
    manifestOfOutput(request, panels, { strips: strips.value.strips, fill: fill.value.fill }, files);
  const printed = {
    state: stateAsPrinted(request.state, strips.value.strips),
    ...(request.panelIds && { panelIds: request.panelIds }),
  };
  files.push(...(await writeDataFiles(request.sheets, printed, listing(), staged, signal)));
  const manifest = listing();
  const manifestFile = await staged.write(MANIFEST_NAME, `${JSON.stringify(manifest, undefined, 2)}\n`);
  report({ what: 'Finished', done: 1, total: 1 });
  return resultOk({
    staged: staged.path,
    manifest,
    files: [...files, { name: MANIFEST_NAME, kind: 'manifest', ...manifestFile }],
    findings: request.state.findings,
    remarks: [...remarks, ...glyphRemarks(missingGlyphs)],
  });
}

/** In install order of each side, sides in the order of the job. */
export function panelsToWrite(layouts: readonly SideLayout[], ids?: ReadonlySet<string>): PanelToWrite[] {
  return layouts.flatMap((layout) =>
    layout.panels.filter((panel) => !ids || ids.has(panel.id)).map((panel) => ({ layout, panel })),
  );
}

/** Of the cut contours in panel files; undefined where they have none. */
const panelContourInk = ({ state }: Pick<OutputRequest, 'state'>): string | undefined =>
  state.job.output.cutContours ? contourInk(state.artwork?.scan) : undefined;

/** Cut parameters of one panel of a job, by this program version unless another is given. */
export function panelToCut(
  job: Job,
  layout: SideLayout,
  panel: Panel,
  fonts: FontLibrary,
  {
    version = PROGRAM_VERSION,
    contourInk: ink,
  }: { readonly version?: string; readonly contourInk?: string | undefined } = {},
): PanelToCut {
  const name = panelFileName(job.number, panel.label, enlargement(job.output.size));
  return {
    label: panel.label,
    cut: {
      ...panelCutFromLayout(job, layout, panel, {
        program: `Panelwright ${version}`,
        shown: panelShownHash(job, layout, panel),
        fonts,
      }),
      ...(ink !== undefined && {
        contours: contourLayer(panelContours(job, layout, panel, name), ink),
      }),
    },
    name: `${PANELS_FOLDER}/${name}`,
  };
}

const panelShownHash = (job: Job, layout: SideLayout, panel: Panel): string =>
  sha256Hex(new TextEncoder().encode(panelShownText(job, layout, panel)));

function manifestPanel(
  request: OutputRequest,
  { layout, panel }: PanelToWrite,
  { name, enlargeBy, notes }: PanelFile,
): ManifestPanel {
  const { artwork } = request;
  const { job } = request.state;
  const outline = panelOutline(panel);
  const ink = panelContourInk(request);
  return {
    file: name,
    label: panel.label,
    panelId: panel.id,
    sideId: layout.side.id,
    sideCode: layout.side.code,
    installOrder: panel.order,
    finishedBox: storedFromRect(panel.net),
    ...(outline && { finishedOutline: outline.map(({ x, y }) => ({ xMm: x, yMm: y })) }),
    printedBox: storedFromRect(panel.printed),
    filmBox: storedFromRect(panel.film),
    source: {
      page: present(layout.side.page, 'The page of a side that is written'),
      box: artwork.reference.box,
      windowDrawnMm: storedFromRect(panelWindow(job, layout, panel)),
    },
    shown: panelShownHash(job, layout, panel),
    scale: job.scale,
    enlargeBy,
    ...(ink !== undefined && { contourInk: ink }),
    ...(isFileMirrored(job, panel) && { mirrored: true }),
    ...(panel.patch && { patch: { of: panel.patch.of, damageBox: storedFromRect(panel.patch.damage) } }),
    ...(panel.glass && {
      glass: { areaId: panel.glass.areaId, name: panel.glass.name, sealMm: panel.glass.sealMm },
    }),
    ...(hasSeveralFilms(job) && { film: manifestFilm(job, panel) }),
    notes: [...notes],
  };
}

function manifestFilm(job: Job, { filmId }: Panel): NonNullable<ManifestPanel['film']> {
  const { letter, printer } = jobFilm(job, filmId);
  const onFilm = jobOnFilm(job, filmId);
  const { name, kind } = onFilm.production?.film ?? onFilm.film;
  const laminate = (onFilm.production?.laminate ?? onFilm.laminate)?.name;
  return { letter, name, kind, ...(laminate !== undefined && { laminate }), printer: printer.name };
}

function manifestOfOutput(
  { state: { job, layouts }, output }: Pick<OutputRequest, 'state' | 'output'>,
  panels: ManifestPanel[],
  {
    strips,
    fill,
  }: {
    readonly strips: readonly ManifestStrip[] | undefined;
    readonly fill: readonly ManifestFill[] | undefined;
  },
  files: readonly OutputFile[],
): Manifest {
  const { fileName, sha256, sizeBytes } = present(job.artwork, 'The artwork of a job');
  return Manifest.parse({
    format: 'panelwright-manifest',
    version: MANIFEST_VERSION,
    schema: MANIFEST_SCHEMA,
    status: VERDICT_WORDS['not-verified'],
    output,
    program: { name: 'Panelwright', version: PROGRAM_VERSION },
    codec: packingCodec(),
    job: { id: job.id, number: job.number, name: job.name, customer: job.customer, date: job.date },
    artwork: { fileName, sha256, sizeBytes },
    outputSize: job.output.size,
    layout: sha256Hex(new TextEncoder().encode(layoutText(layouts, job.output.size))),
    panels,
    ...(strips && { strips: [...strips] }),
    ...(fill && { fill: [...fill] }),
    ...filesListed(files),
    acknowledgements: job.acknowledgements,
  } satisfies Manifest);
}

function outputBlocked(findings: readonly Finding[]): OutputBlocked {
  const stops = findings.filter(({ severity }) => severity === 'stop').length;
  const warns = findings.length - stops;
  const counted = [
    stops > 0 && `${stops} ${stops === 1 ? 'finding stops' : 'findings stop'} the output`,
    warns > 0 && `${warns} ${warns === 1 ? 'warning waits' : 'warnings wait'} for an acknowledgement`,
  ].filter((part) => part !== false);
  return {
    code: 'output-blocked',
    message: `Nothing was written: ${counted.join(' and ')}.`,
    remedy: 'Correct what the findings name, or acknowledge the warnings with a note.',
    findings,
  };
}
