/**
 * Selected panels of a past output, written again: from the stored bytes, or cut again from the artwork where those are
 * lost, with papers for only these panels.
 */
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Job } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import { firstOf, present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { OutputMark } from '../../core/output/output-mark.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { VERDICT_WORDS } from '../../core/output/verdict.ts';
import { vaultIncomplete } from '../archive/vault-incomplete.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { ScanStore } from '../artwork/scan-store.ts';
import { cutPanelFiles } from '../cut/panel-files.ts';
import { packingCodec } from '../cut/zlib.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import type { HashedSize } from '../files/sha256.ts';
import { MANIFEST_NAME, type StagedFolder, stageTogether } from '../files/staged-folder.ts';
import { CoverageStore } from '../ink/coverage-store.ts';
import { jobKnown } from '../job/job-state.ts';
import { stageColorStrip } from './color-strip-file.ts';
import { filesListed } from './files-listed.ts';
import { panelsToWrite, panelToCut } from './job-output.ts';
import { type ArtworkAt, keptArtwork, scannedArtwork } from './kept-artwork.ts';
import { writeReprintSheets } from './reprint-sheets.ts';
import type { TaskTools } from './task-tools.ts';

export interface ReprintRequest {
  /** The job at that time. */
  readonly job: Job;
  /** Version of the program that first wrote the panels. */
  readonly programVersion: string;
  readonly panels: readonly PanelToReprint[];
  /** Of the first output. */
  readonly manifest: Manifest;
  /** What the panels were cut from; absent where it is lost. */
  readonly artwork?: ArtworkAt;
  /** Where scans of artworks are stored. */
  readonly archiveFolder?: string;
  readonly logo?: ShopLogo | undefined;
  readonly artworkSha256: string;
  readonly sheets: readonly SheetKind[];
  /** Whether a color strip is written, to be printed before the panels. */
  readonly hasColorStrip?: boolean;
  /** Where the outputs of the job lie, each in a folder of its own. */
  readonly jobFolder: string;
  readonly output: OutputMark;
  /** What the first output was made with, where it was entered. */
  readonly firstRecord?: ProductionRecord | undefined;
}

export interface PanelToReprint {
  readonly file: OutputFile;
  /** Where the original bytes are stored; absent where they are lost. */
  readonly path?: string;
}

export interface StagedReprint {
  /** Where its files lie until the output gets its number and its folder. */
  readonly staged: string;
  readonly manifest: Manifest;
  readonly files: readonly OutputFile[];
  /** One sentence per panel that is not byte-identical to the first output, or that was not in the vault. */
  readonly differences: readonly string[];
  /** Notes about the papers. */
  readonly remarks: readonly string[];
}

/** Problems: `vault-incomplete`, those of the artwork, of the cut and of files, `cancelled`. */
export async function reprint(request: ReprintRequest, tools: TaskTools): Promise<Result<StagedReprint>> {
  return await stageTogether(request.jobFolder, (staged) => stageReprint(request, staged, tools));
}

async function stageReprint(
  request: ReprintRequest,
  staged: StagedFolder,
  tools: TaskTools,
): Promise<Result<StagedReprint>> {
  const { signal, report } = tools;
  const { job, panels, manifest: first, sheets, output } = request;
  const manifest: Manifest = { ...first, status: VERDICT_WORDS['not-verified'], output };
  const files: OutputFile[] = [];
  const differences: string[] = [];
  const recut = new Set<string>();
  for (const { file, path } of panels) {
    signal.throwIfAborted();
    report({ what: `Reprinting ${file.panelLabel}`, done: files.length, total: panels.length });
    if (path !== undefined) {
      files.push({ ...file, ...(await staged.copy(file.name, path, signal)) });
      continue;
    }
    const cut = await recutPanel(request, file, staged, tools);
    if (!cut.ok) return cut;
    differences.push(recutSentence(file, cut.value, request));
    recut.add(file.name);
    files.push({ ...file, ...cut.value });
  }
  const strip = request.hasColorStrip ? await stageColorStrip(request, files, staged, tools) : undefined;
  if (strip && !strip.ok) return strip;
  if (strip?.value) files.unshift(strip.value.file);
  let remarks: readonly string[] = strip?.value
    ? [`Print ${strip.value.file.name} first, and compare it on the vehicle.`]
    : [];
  if (sheets.length > 0) {
    signal.throwIfAborted();
    report({ what: 'Drawing the sheets', done: 0, total: 1 });
    // The ticket says what the artwork asks of the RIP.
    const isLookedThrough = sheets.includes('ticket');
    const artwork = await openArtworkOfThen(request, tools, isLookedThrough);
    signal.throwIfAborted();
    const papers = await writeReprintSheets(
      { job, manifest: reprintManifest(manifest, files, recut) },
      { artwork: artwork.ok ? artwork.value : undefined, logo: request.logo },
      { kinds: sheets, firstRecord: request.firstRecord, strip: strip?.value?.strip },
      staged,
      { ...tools, ...(isKept(request) && { store: new CoverageStore(request.archiveFolder) }) },
    );
    files.push(...papers.files);
    remarks = [...remarks, ...papers.remarks];
  }
  const written = reprintManifest(manifest, files, recut);
  const text = `${JSON.stringify(written, undefined, 2)}\n`;
  files.push({ name: MANIFEST_NAME, kind: 'manifest', ...(await staged.write(MANIFEST_NAME, text)) });
  return resultOk({ staged: staged.path, manifest: written, files, differences, remarks });
}

/** The artwork as it was then. */
async function openArtworkOfThen(
  request: ReprintRequest,
  tools: TaskTools,
  isLookedThrough = false,
): Promise<Result<OpenedArtwork>> {
  const { artwork, artworkSha256 } = request;
  const store = isKept(request) ? new ScanStore(request.archiveFolder) : undefined;
  const opened = artwork && (await (isLookedThrough ? scannedArtwork : keptArtwork)(artwork, tools, store));
  if (opened && (!opened.ok || opened.value.reference.sha256 === artworkSha256)) return opened;
  return resultProblem(vaultIncomplete('The artwork is not whole in the archive.'));
}

/** Nothing is kept of artwork that needs a password. */
const isKept = (request: ReprintRequest): request is ReprintRequest & { readonly archiveFolder: string } =>
  request.archiveFolder !== undefined && request.artwork?.password === undefined;

async function recutPanel(
  request: ReprintRequest,
  file: OutputFile,
  staged: StagedFolder,
  tools: TaskTools,
): Promise<Result<HashedSize>> {
  const { job, programVersion, manifest } = request;
  const opened = await openArtworkOfThen(request, tools);
  if (!opened.ok) {
    if (opened.problem.code !== 'vault-incomplete') return opened;
    const sentence = `${file.panelLabel}: neither the panel nor its artwork is whole in the archive.`;
    return resultProblem(vaultIncomplete(sentence));
  }
  const { layouts } = jobKnown(job, opened.value);
  const [found] = panelsToWrite(layouts, new Set([present(file.panelId, 'The panel of a file')]));
  if (!found) {
    const sentence = `${file.panelLabel} is not whole in the archive, and patches are not cut again.`;
    return resultProblem(vaultIncomplete(sentence));
  }
  const { layout, panel } = found;
  const contourInk = manifest.panels.find(({ panelId }) => panelId === panel.id)?.contourInk;
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const cut = await cutPanelFiles(
    opened.value.artwork,
    opened.value.reference.sha256,
    [{ ...panelToCut(job, layout, panel, fonts, { version: programVersion, contourInk }), name: file.name }],
    staged,
    { signal: tools.signal, report: () => undefined },
  );
  if (!cut.ok) return cut;
  const { sha256, sizeBytes } = firstOf(cut.value);
  return resultOk({ sha256, sizeBytes });
}

function recutSentence(
  { panelLabel, sha256 }: OutputFile,
  cut: HashedSize,
  { programVersion, manifest }: ReprintRequest,
): string {
  const outcome =
    cut.sha256 === sha256
      ? 'the new cut is byte-identical to the first'
      : `the new cut, by version ${PROGRAM_VERSION} with ${codecName(packingCodec())} after ${programVersion} with ${codecName(manifest.codec)}, is not byte-identical to the first; compare it with a remaining piece before printing`;
  return `${panelLabel}: the archived file was missing or damaged, so the panel was cut again; ${outcome}.`;
}

const codecName = ({ name, version }: Manifest['codec']): string => `${name} ${version}`;

/**
 * Entries of the first manifest for the reprinted panels, and all files with their present hashes. The manifest names
 * the original compression library, so a panel that was cut again with another one has a note.
 */
function reprintManifest(
  first: Manifest,
  files: readonly OutputFile[],
  recut: ReadonlySet<string>,
): Manifest {
  const names = new Set(files.map(({ name }) => name));
  const { strips: _, ...printed } = first;
  const codec = codecName(packingCodec());
  const noteOf = (file: string): string[] =>
    recut.has(file) && codec !== codecName(first.codec) ? [`Cut again, and packed with ${codec}.`] : [];
  return {
    ...printed,
    panels: first.panels
      .filter((panel) => names.has(panel.file))
      .map((panel) => ({ ...panel, notes: [...panel.notes, ...noteOf(panel.file)] })),
    ...filesListed(files),
  };
}
