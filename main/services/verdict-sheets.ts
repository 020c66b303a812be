/**
 * Updates the sheets and the manifest of an output with its verdict: stamps and status change, and each file is
 * replaced as a whole by a rename.
 */
import { existsSync } from 'node:fs';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { documentStamped } from '../../core/drawing/document-stamp.ts';
import { type Manifest, manifestWithStatus } from '../../core/output/manifest.ts';
import { isDrawnKind, SHEET_KINDS } from '../../core/output/sheet-kind.ts';
import { STAMP_WORDS, VERDICT_WORDS, type Verdict } from '../../core/output/verdict.ts';
import type { Archive } from '../archive/port.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { hashFile, sha256Hex } from '../files/sha256.ts';
import type { Written } from './written-files.ts';

export interface SheetsOfVerdict {
  /** As they will be; in the vault already, where there is one. */
  readonly files: readonly OutputFile[];
  /** Replaces the sheets in the folder of the output. Returns what there is to say about it. */
  write(): Promise<string[]>;
}

interface StampedSheet {
  readonly file: OutputFile;
  readonly bytes: Uint8Array;
}

export async function stampSheets(
  archive: Archive | undefined,
  { files, folder }: Pick<Written, 'files' | 'folder'>,
  verdict: Verdict,
): Promise<SheetsOfVerdict> {
  const word = VERDICT_WORDS[verdict];
  const sheets: StampedSheet[] = [];
  const changed: string[] = [];
  for (const file of files.filter(hasWord)) {
    const path = join(folder, file.name);
    const before = await bytesAsWritten(archive, path, file.sha256);
    const bytes = before && withWord(file, before, word);
    if (bytes) {
      const now = { ...file, sha256: sha256Hex(bytes), sizeBytes: bytes.length };
      sheets.push({ file: now, bytes });
    } else changed.push(path);
  }
  if (archive) await keepSheets(archive, sheets);
  const hashes = new Map(files.map(({ name, sha256 }) => [name, sha256]));
  const isOurs = async (name: string, sha256: string): Promise<boolean> =>
    hashes.get(name) === sha256 || (await archive?.vault.has(sha256)) === true;
  return {
    files: sheets.map(({ file }) => file),
    write: async () => [
      ...changed.filter((path) => existsSync(path)).map((path) => changedRemark(path, word)),
      ...(await replaceSheets(folder, sheets, word, isOurs)),
    ],
  };
}

function withWord(
  { kind }: OutputFile,
  before: Uint8Array,
  word: Manifest['status'],
): Uint8Array | undefined {
  if (kind !== 'manifest') return documentStamped(before, STAMP_WORDS, word);
  return new TextEncoder().encode(manifestWithStatus(new TextDecoder().decode(before), word));
}

function hasWord({ kind }: OutputFile): boolean {
  if (kind === 'manifest') return true;
  const sheet = SHEET_KINDS.find((known) => known === kind);
  return sheet !== undefined && isDrawnKind(sheet);
}

/** Undefined where neither the vault nor the folder has it any more. */
async function bytesAsWritten(
  archive: Archive | undefined,
  path: string,
  sha256: string,
): Promise<Uint8Array | undefined> {
  const places = archive ? [await archive.vault.path(sha256), path] : [path];
  for (const place of places) {
    const bytes = await readFile(place).catch(() => undefined);
    if (bytes && sha256Hex(bytes) === sha256) return bytes;
  }
  return undefined;
}

async function keepSheets({ vault }: Archive, sheets: readonly StampedSheet[]): Promise<void> {
  const scratch = makeScratchFolder('sheets');
  try {
    for (const { file, bytes } of sheets) {
      await writeFile(join(scratch, file.name), bytes);
      await vault.add(join(scratch, file.name));
    }
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

/** A sheet that was changed or removed is left alone, and one that cannot be replaced keeps its word; both are reported. */
async function replaceSheets(
  folder: string,
  sheets: readonly StampedSheet[],
  word: string,
  isOurs: (name: string, sha256: string) => Promise<boolean>,
): Promise<string[]> {
  const remarks: string[] = [];
  for (const { file, bytes } of sheets) {
    const path = join(folder, file.name);
    try {
      const { sha256 } = await hashFile(path);
      if (sha256 === file.sha256) continue;
      if (await isOurs(file.name, sha256)) await writeFileAtomically(path, bytes);
      else remarks.push(changedRemark(path, word));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') continue;
      const problem = fileProblem(error, path);
      if (!problem) throw error;
      remarks.push(`${path} does not say ${word} yet. ${problem.message} ${problem.remedy}`);
    }
  }
  return remarks;
}

const changedRemark = (path: string, word: string): string =>
  `${path} was changed outside Panelwright, so it does not say ${word}.`;
