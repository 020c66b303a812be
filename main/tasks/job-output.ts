/** An output: panels, install map and manifest of a job, written together or not at all. */
import { resolve } from 'node:path';
import type { OutputFile } from '../../core/contract/verbs-outputs.ts';
import { panelCutFromLayout, panelWindow } from '../../core/cut/panel-cut.ts';
import { enlargement } from '../../core/cut/panel-geometry.ts';
import { type FontLibrary, fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import type { Panel } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { panelFileName } from '../../core/output/file-name.ts';
import {
  MANIFEST_SCHEMA,
  MANIFEST_VERSION,
  Manifest,
  type ManifestFile,
  type ManifestPanel,
  type ManifestStrip,
} from '../../core/output/manifest.ts';
import { panelTableCsv } from '../../core/output/panel-table.ts';
import { SHEET_FILES } from '../../core/output/sheet-kind.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import { type PanelFile, type PanelToCut, panelFilesCut } from '../cut/panel-files.ts';
import { fileProblem, filesTried } from '../files/file-problem.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { MANIFEST_NAME, PANELS_FOLDER, StagedFolder } from '../files/staged-folder.ts';
import type { OutputRequest, OutputTools } from './output-request.ts';
import { type DrawnKind, outputSheets } from './output-sheets.ts';
import { outputStrips, stateAsPrinted } from './output-strips.ts';

export interface Output {
  readonly folder: string;
  readonly manifest: Manifest;
  readonly files: readonly OutputFile[];
  /** Sentences for whoever started the output. */
  readonly remarks: readonly string[];
}

/** Why nothing was written although the input could be read: findings that stop, or that nobody acknowledged. */
export interface OutputBlocked extends Problem<'output-blocked'> {
  readonly findings: readonly Finding[];
}

interface PanelToWrite {
  readonly layout: SideLayout;
  readonly panel: Panel;
}

/** Writes the files of an output to `folder`. Problems: `output-blocked`, those of the cut and of files, `cancelled`. */
export async function jobOutput(
  request: OutputRequest,
  tools: OutputTools,
): Promise<Result<Output, Problem | OutputBlocked>> {
  const { state, folder } = request;
  if (state.blocking.length > 0) return resultProblem(outputBlocked(state.blocking));
  try {
    const staged = await StagedFolder.begin(folder);
    if (!staged.ok) return staged;
    const output = await stagedOutput(request, staged.value, tools).catch(async (error: unknown) => {
      await staged.value.abandon();
      throw error;
    });
    if (!output.ok) {
      await staged.value.abandon();
      return output;
    }
    await staged.value.commit();
    return output;
  } catch (error) {
    const problem = fileProblem(error, folder);
    if (problem) return resultProblem(problem);
    throw error;
  }
}

async function stagedOutput(
  request: OutputRequest,
  staged: StagedFolder,
  tools: OutputTools,
): Promise<Result<Output, Problem>> {
  const { signal, report } = tools;
  const { artwork } = request;
  const { job, layouts } = request.state;
  const missingGlyphs = new Set<string>();
  const fonts = fontLibraryFromFiles(sheetFontFiles(), (character) => missingGlyphs.add(character));
  const toWrite = panelsToWrite(layouts, request.panelIds);
  const drawnKinds = request.sheets.filter((kind): kind is DrawnKind => kind !== 'table');
  const remarks: string[] = [];
  signal.throwIfAborted();
  const what = `Cutting ${toWrite.length === 1 ? toWrite[0]!.panel.label : `${toWrite.length} panels`}`;
  const written = await panelFilesCut(
    artwork.artwork,
    artwork.reference.sha256,
    toWrite.map(({ layout, panel }) => panelToCut(job, layout, panel, fonts)),
    staged,
    { signal, report: (done, total) => report({ what, done, total }) },
  );
  if (!written.ok) return written;
  const panels = toWrite.map((item, i) => manifestPanel(request, item, written.value[i]!));
  const files: OutputFile[] = toWrite.map(({ panel }, i) => {
    const { name, sha256, sizeBytes } = written.value[i]!;
    return { name, kind: 'panel', panelId: panel.id, panelLabel: panel.label, sha256, sizeBytes };
  });
  const strips = await outputStrips(request, panels, files, staged, tools);
  if (!strips.ok) return strips;
  files.push(...strips.value.files);
  remarks.push(...strips.value.remarks);
  if (drawnKinds.length > 0) {
    signal.throwIfAborted();
    report({ what: 'Drawing the sheets', done: 0, total: 1 });
    const { panelIds } = request;
    const state = stateAsPrinted(request.state, strips.value.strips);
    const wanted = { state, artwork, kinds: drawnKinds, ...(panelIds && { panelIds }) };
    const drawn = await outputSheets(wanted, fonts, signal);
    for (const { kind, name, bytes } of drawn.sheets) {
      files.push({ name, kind, ...(await staged.write(name, bytes)) });
    }
    remarks.push(...pictureRemarks(drawn.sidesWithoutPicture));
  }
  signal.throwIfAborted();
  if (request.sheets.includes('table')) {
    const table = panelTableCsv(manifestOfOutput(job, panels, strips.value.strips, files));
    files.push({ name: SHEET_FILES.table, kind: 'table', ...(await staged.write(SHEET_FILES.table, table)) });
  }
  const manifest = manifestOfOutput(job, panels, strips.value.strips, files);
  const manifestFile = await staged.write(MANIFEST_NAME, `${JSON.stringify(manifest, undefined, 2)}\n`);
  report({ what: 'Finished', done: 1, total: 1 });
  return resultOk({
    folder: request.folder,
    manifest,
    files: [...files, { name: MANIFEST_NAME, kind: 'manifest', ...manifestFile }],
    remarks: [...remarks, ...glyphRemarks(missingGlyphs)],
  });
}

export function pictureRemarks(sideCodes: readonly string[]): string[] {
  if (sideCodes.length === 0) return [];
  return [
    `The install map shows ${sideCodes.join(', ')} as a line drawing: the preview could not draw the artwork.`,
  ];
}

export function glyphRemarks(missing: ReadonlySet<string>): string[] {
  if (missing.size === 0) return [];
  const names = [...missing].map(
    (char) => `U+${char.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`,
  );
  return [`The fonts of sheets and marks lack ${names.join(', ')}; a box stands in place of each.`];
}

/** In install order of each side, sides in the order of the job. */
export function panelsToWrite(layouts: readonly SideLayout[], ids?: ReadonlySet<string>): PanelToWrite[] {
  return layouts.flatMap((layout) =>
    layout.panels.filter((panel) => !ids || ids.has(panel.id)).map((panel) => ({ layout, panel })),
  );
}

/** What the cut asks of one panel of a job, by this version of the program unless said otherwise. */
export function panelToCut(
  job: Job,
  layout: SideLayout,
  panel: Panel,
  fonts: FontLibrary,
  version = PROGRAM_VERSION,
): PanelToCut {
  return {
    label: panel.label,
    cut: panelCutFromLayout(job, layout, panel, `Panelwright ${version}`, fonts),
    name: `${PANELS_FOLDER}/${panelFileName(job.number, panel.label, enlargement(job.output.size))}`,
  };
}

function manifestPanel(
  { state: { job }, artwork }: OutputRequest,
  { layout, panel }: PanelToWrite,
  { name, enlargeBy, notes }: PanelFile,
): ManifestPanel {
  return {
    file: name,
    label: panel.label,
    panelId: panel.id,
    sideId: layout.side.id,
    sideCode: layout.side.code,
    installOrder: panel.order,
    finishedBox: storedFromRect(panel.net),
    printedBox: storedFromRect(panel.printed),
    filmBox: storedFromRect(panel.film),
    source: {
      page: layout.side.page,
      box: artwork.reference.box,
      windowDrawnMm: storedFromRect(panelWindow(job, layout, panel)),
    },
    scale: job.scale,
    enlargeBy,
    notes: [...notes],
  };
}

function manifestOfOutput(
  job: Job,
  panels: ManifestPanel[],
  strips: readonly ManifestStrip[] | undefined,
  files: readonly OutputFile[],
): Manifest {
  const { fileName, sha256, sizeBytes } = job.artwork!;
  return Manifest.parse({
    format: 'panelwright-manifest',
    version: MANIFEST_VERSION,
    schema: MANIFEST_SCHEMA,
    program: { name: 'Panelwright', version: PROGRAM_VERSION },
    job: { id: job.id, number: job.number, name: job.name, customer: job.customer, date: job.date },
    artwork: { fileName, sha256, sizeBytes },
    outputSize: job.output.size,
    panels,
    ...(strips && { strips: [...strips] }),
    files: files.map(
      ({ name, kind, sha256, sizeBytes }) => ({ file: name, kind, sha256, sizeBytes }) as ManifestFile,
    ),
    acknowledgements: job.acknowledgements,
  } satisfies Manifest);
}

/**
 * Keeps an output in the archive: its job as it was, its artwork and every file. The vault comes first: an output that
 * the archive lists has all its files.
 */
export async function outputArchived(
  archive: Archive,
  job: Job,
  artworkPath: string,
  output: Output,
  how: Pick<ArchivedOutput, 'kind' | 'reason' | 'at'> & { reprintOf?: number },
): Promise<ArchivedOutput> {
  const artwork = await archive.vault.add(artworkPath);
  for (const file of output.files) {
    const kept = await archive.vault.add(`${output.folder}/${file.name}`);
    if (kept.sha256 !== file.sha256) throw new Error(`${file.name} changed while it was being archived`);
  }
  const document = jobToJson(job);
  return await archive.outputs.keep({
    ...how,
    jobId: job.id,
    programVersion: PROGRAM_VERSION,
    document,
    artworkSha256: artwork.sha256,
    // To be found again from wherever the program is started next.
    folder: resolve(output.folder),
    files: output.files,
  });
}

/** The same, where the archive's disk may refuse: what was written stays then, and the problem says so. */
export async function outputKept(
  ...[archive, job, artworkPath, output, how]: Parameters<typeof outputArchived>
): Promise<Result<ArchivedOutput>> {
  const kept = await filesTried(archive.vault.folder, async () =>
    resultOk(await outputArchived(archive, job, artworkPath, output, how)),
  );
  if (kept.ok) return kept;
  const remedy = `The files in ${output.folder} are whole, but the archive does not have them: free space or ask for access, then cut the job again.`;
  return resultProblem({ ...kept.problem, remedy });
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
