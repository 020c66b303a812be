/**
 * Prints chosen panels of a past output again. The bytes come from the vault, so the second print is
 * the first; where the vault has lost them, the panel is cut again from the archived artwork and job, and
 * whatever differs is said.
 */
import { readFile } from 'node:fs/promises';
import type { Progress } from '../../core/contract/parts.ts';
import type { OutputFile } from '../../core/contract/verbs-outputs.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest, ManifestFile } from '../../core/output/manifest.ts';
import { manifestFromJson } from '../../core/output/manifest-json.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import { artworkOpened, type OpenedArtwork } from '../artwork/artwork-file.ts';
import { panelFilesCut } from '../cut/panel-files.ts';
import { fileProblem } from '../files/file-problem.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import type { HashedSize } from '../files/sha256.ts';
import { MANIFEST_NAME, StagedFolder } from '../files/staged-folder.ts';
import { jobKnown } from '../job/job-state.ts';
import { panelsToWrite, panelToCut } from '../tasks/job-output.ts';
import { reprintSheetsWritten } from './reprint-sheets.ts';

export interface ReprintRequest {
  readonly outputId: number;
  readonly panelLabels: readonly string[];
  readonly reason: string;
  readonly folder: string;
  /** Papers for the reprinted panels. */
  readonly sheets: readonly SheetKind[];
  readonly now: string;
  /** For an artwork that was encrypted, in case a panel must be cut again. */
  readonly password?: string;
}

export interface Reprint {
  readonly output: ArchivedOutput;
  /** One sentence per panel that is not byte-identical to the first time, or that could not come from the vault. */
  readonly differences: readonly string[];
  /** What there is to say about the papers. */
  readonly remarks: readonly string[];
}

interface PanelWritten {
  readonly hashed: HashedSize;
  readonly difference?: string;
}

export async function panelsReprinted(
  archive: Archive,
  request: ReprintRequest,
  tools: { readonly signal: AbortSignal; readonly report: (progress: Progress) => void },
): Promise<Result<Reprint, Problem>> {
  const first = await archive.outputs.find(request.outputId);
  if (!first.ok) return first;
  const job = jobFromJson(first.value.document);
  if (!job.ok) return job;
  const chosen = filesOfPanels(first.value, request.panelLabels);
  if (!chosen.ok) return chosen;

  try {
    const staged = await StagedFolder.begin(request.folder);
    if (!staged.ok) return staged;
    try {
      const written = await stagedReprint(
        archive,
        first.value,
        job.value,
        chosen.value,
        staged.value,
        request,
        tools,
      );
      if (!written.ok) {
        await staged.value.abandon();
        return written;
      }
      await staged.value.commit();
      for (const file of written.value.files) await archive.vault.add(`${request.folder}/${file.name}`);
      const output = await archive.outputs.keep({
        jobId: first.value.jobId,
        kind: 'reprint',
        reprintOf: first.value.id,
        reason: request.reason,
        at: request.now,
        programVersion: PROGRAM_VERSION,
        document: first.value.document,
        artworkSha256: first.value.artworkSha256,
        folder: request.folder,
        files: written.value.files,
      });
      return resultOk({ output, differences: written.value.differences, remarks: written.value.remarks });
    } catch (error) {
      await staged.value.abandon();
      throw error;
    }
  } catch (error) {
    const problem = fileProblem(error, request.folder);
    if (problem) return resultProblem(problem);
    throw error;
  }
}

async function stagedReprint(
  archive: Archive,
  first: ArchivedOutput,
  job: Job,
  chosen: readonly OutputFile[],
  staged: StagedFolder,
  request: ReprintRequest,
  { signal, report }: { readonly signal: AbortSignal; readonly report: (progress: Progress) => void },
): Promise<Result<{ files: OutputFile[]; differences: string[]; remarks: readonly string[] }, Problem>> {
  const files: OutputFile[] = [];
  const differences: string[] = [];
  const artwork = new ArtworkOfOutput(archive, first, job, request.password);
  const recut = new RecutPanels(first, job, artwork);
  for (const file of chosen) {
    signal.throwIfAborted();
    report({ what: `Reprinting ${file.panelLabel}`, done: files.length, total: chosen.length });
    const isKept = (await archive.vault.state(file.sha256)) === 'sound';
    const panel: Result<PanelWritten, Problem> = isKept
      ? resultOk({ hashed: await staged.copy(file.name, await archive.vault.path(file.sha256), signal) })
      : await recut.panel(file, staged, signal);
    if (!panel.ok) return panel;
    if (panel.value.difference !== undefined) differences.push(panel.value.difference);
    files.push({ ...file, ...panel.value.hashed });
  }
  const original = await firstManifest(archive, first);
  if (!original.ok) return original;
  let remarks: readonly string[] = [];
  if (request.sheets.length > 0) {
    signal.throwIfAborted();
    report({ what: 'Drawing the sheets', done: 0, total: 1 });
    const opened = await artwork.opened();
    const papers = await reprintSheetsWritten(
      job,
      reprintManifest(original.value, files),
      opened.ok ? opened.value : undefined,
      request.sheets,
      staged,
      { signal, report },
    );
    files.push(...papers.files);
    remarks = papers.remarks;
  }
  const text = `${JSON.stringify(reprintManifest(original.value, files), undefined, 2)}\n`;
  files.push({ name: MANIFEST_NAME, kind: 'manifest', ...(await staged.write(MANIFEST_NAME, text)) });
  return resultOk({ files, differences, remarks });
}

function filesOfPanels(output: ArchivedOutput, labels: readonly string[]): Result<OutputFile[], Problem> {
  const panels = output.files.filter((file) => file.kind === 'panel');
  const files: OutputFile[] = [];
  for (const label of new Set(labels)) {
    const file = panels.find((candidate) => candidate.panelLabel === label);
    if (!file) {
      return resultProblem({
        code: 'panel-unknown',
        message: `ArchivedOutput ${output.id} wrote no panel ${label}.`,
        remedy: `Choose from: ${panels.map(({ panelLabel }) => panelLabel).join(', ')}.`,
      });
    }
    files.push(file);
  }
  return resultOk(files);
}

async function firstManifest(archive: Archive, first: ArchivedOutput): Promise<Result<Manifest, Problem>> {
  const original = first.files.find(({ kind }) => kind === 'manifest');
  if (!original || (await archive.vault.state(original.sha256)) !== 'sound') {
    return resultProblem(vaultIncomplete(`The manifest of run ${first.id} is not whole in the archive.`));
  }
  const text = await readFile(await archive.vault.path(original.sha256), 'utf8');
  return manifestFromJson(text, `of run ${first.id}`);
}

/** The entries of the first manifest for the panels that are printed again, and all files with their hashes as written now. */
function reprintManifest(first: Manifest, files: readonly OutputFile[]): Manifest {
  const names = new Set(files.map(({ name }) => name));
  const { strips: _, ...printed } = first;
  return {
    ...printed,
    panels: first.panels.filter((panel) => names.has(panel.file)),
    files: files.map(
      ({ name, kind, sha256, sizeBytes }) => ({ file: name, kind, sha256, sizeBytes }) as ManifestFile,
    ),
  };
}

const vaultIncomplete = (message: string): Problem => ({
  code: 'vault-incomplete',
  message,
  remedy: 'Restore the archive folder from a backup, or cut the job anew from its artwork.',
});

/** The artwork that an output was cut from, as the archive keeps it; opened once, when first needed. */
class ArtworkOfOutput {
  readonly #archive: Archive;
  readonly #sha256: string;
  readonly #job: Job;
  readonly #password: string | undefined;
  #opened: Promise<Result<OpenedArtwork>> | undefined;

  constructor(archive: Archive, { artworkSha256 }: ArchivedOutput, job: Job, password: string | undefined) {
    this.#archive = archive;
    this.#sha256 = artworkSha256;
    this.#job = job;
    this.#password = password;
  }

  opened(): Promise<Result<OpenedArtwork>> {
    this.#opened ??= this.#open();
    return this.#opened;
  }

  async #open(): Promise<Result<OpenedArtwork>> {
    if ((await this.#archive.vault.state(this.#sha256)) !== 'sound') {
      return resultProblem(vaultIncomplete('The artwork is not whole in the archive.'));
    }
    return artworkOpened(await this.#archive.vault.path(this.#sha256), {
      box: this.#job.artwork?.box ?? 'crop',
      fileName: this.#job.artwork?.fileName ?? this.#sha256,
      ...(this.#password !== undefined && { password: this.#password }),
    });
  }
}

/** Cuts panels again from what the archive keeps. */
class RecutPanels {
  readonly #output: ArchivedOutput;
  readonly #job: Job;
  readonly #artwork: ArtworkOfOutput;

  constructor(output: ArchivedOutput, job: Job, artwork: ArtworkOfOutput) {
    this.#output = output;
    this.#job = job;
    this.#artwork = artwork;
  }

  async panel(
    file: OutputFile,
    staged: StagedFolder,
    signal: AbortSignal,
  ): Promise<Result<PanelWritten, Problem>> {
    const { artworkSha256, programVersion } = this.#output;
    const opened = await this.#artwork.opened();
    if (!opened.ok) {
      if (opened.problem.code !== 'vault-incomplete') return opened;
      return resultProblem(
        vaultIncomplete(`${file.panelLabel}: neither the panel nor its artwork is whole in the archive.`),
      );
    }
    const { layouts } = jobKnown(this.#job, opened.value);
    const { layout, panel } = panelsToWrite(layouts, new Set([file.panelId!]))[0]!;
    const fonts = fontLibraryFromFiles(sheetFontFiles());
    const cut = await panelFilesCut(
      opened.value.artwork,
      artworkSha256,
      [{ ...panelToCut(this.#job, layout, panel, fonts, programVersion), name: file.name }],
      staged,
      { signal, report: () => undefined },
    );
    if (!cut.ok) return cut;
    const { sha256, sizeBytes } = cut.value[0]!;
    const isSame = sha256 === file.sha256;
    const outcome = isSame
      ? 'the new cut is byte-identical to the first'
      : `the new cut, by version ${PROGRAM_VERSION} after ${programVersion}, is not byte-identical to the first; compare it with a remaining piece before printing`;
    return resultOk({
      hashed: { sha256, sizeBytes },
      difference: `${file.panelLabel}: the archived file was missing or damaged, so the panel was cut again; ${outcome}.`,
    });
  }
}
