/** The sheets of an output get the word of its verdict: each is drawn again and replaced as a whole, by a rename. */
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { OutputFile } from '../../core/contract/verbs-outputs.ts';
import { type DrawnKind, isDrawnKind, SHEET_KINDS } from '../../core/output/sheet-kind.ts';
import { VERDICT_WORDS, type Verdict } from '../../core/output/verdict.ts';
import type { Archive } from '../archive/port.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { hashFile, sha256Hex } from '../files/sha256.ts';
import type { OutputSheet } from '../tasks/output-sheets.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';
import type { Written } from './written-files.ts';

export interface SheetsOfVerdict {
  /** As they will be; in the vault already, where there is one. */
  readonly files: readonly OutputFile[];
  readonly remarks: readonly string[];
  /** Replaces the sheets in the folder of the output. Returns what there is to say about it. */
  write(): Promise<string[]>;
}

type Parts = Pick<ActParts, 'work'> & { readonly archive: Archive | undefined };

export async function drawSheetsOfVerdict(
  { archive, work }: Parts,
  written: Written,
  verdict: Verdict,
  tools: TaskTools,
): Promise<SheetsOfVerdict> {
  const { artwork, job, manifest, isReprint, folder } = written;
  const kinds = written.files.flatMap(({ kind }) => drawnKind(kind));
  if (kinds.length === 0 || !artwork.ok) return { files: [], remarks: [], write: async () => [] };
  const request = { job, manifest, isReprint, kinds, verdict, artwork: artwork.value };
  const drawn = await work.run(
    'verdictSheets',
    { ...request, ...(archive && { archiveFolder: archive.folder }) },
    tools,
  );
  if (!drawn.ok) {
    const { message, remedy } = drawn.problem;
    return {
      files: [],
      remarks: [`The sheets do not say ${VERDICT_WORDS[verdict]} yet. ${message} ${remedy}`],
      write: async () => [],
    };
  }
  const sheets = drawn.value;
  if (archive) await keepSheets(archive, sheets);
  const files = sheets.map(({ kind, name, bytes }): OutputFile => {
    return { name, kind, sha256: sha256Hex(bytes), sizeBytes: bytes.length };
  });
  const before = new Map(written.files.map(({ name, sha256 }) => [name, sha256]));
  const isOurs = async (name: string, sha256: string): Promise<boolean> =>
    before.get(name) === sha256 || (await archive?.vault.has(sha256)) === true;
  return {
    files,
    remarks: [],
    write: async () => await replaceSheets(folder, sheets, verdict, isOurs),
  };
}

function drawnKind(kind: OutputFile['kind']): DrawnKind[] {
  const sheet = SHEET_KINDS.find((known) => known === kind);
  return sheet && isDrawnKind(sheet) ? [sheet] : [];
}

async function keepSheets({ vault }: Archive, sheets: readonly OutputSheet[]): Promise<void> {
  const scratch = makeScratchFolder('sheets');
  try {
    for (const { name, bytes } of sheets) {
      await writeFile(join(scratch, name), bytes);
      await vault.add(join(scratch, name));
    }
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

/** A sheet that somebody has changed or taken away stays so, and one that cannot be replaced keeps its word; both are said. */
async function replaceSheets(
  folder: string,
  sheets: readonly OutputSheet[],
  verdict: Verdict,
  isOurs: (name: string, sha256: string) => Promise<boolean>,
): Promise<string[]> {
  const remarks: string[] = [];
  for (const { name, bytes } of sheets) {
    const path = join(folder, name);
    try {
      const { sha256 } = await hashFile(path);
      if (sha256 === sha256Hex(bytes)) continue;
      if (await isOurs(name, sha256)) await writeFileAtomically(path, bytes);
      else remarks.push(`${path} was changed by somebody, so it does not say ${VERDICT_WORDS[verdict]}.`);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') continue;
      const problem = fileProblem(error, path);
      if (!problem) throw error;
      const { message, remedy } = problem;
      remarks.push(`${path} does not say ${VERDICT_WORDS[verdict]} yet. ${message} ${remedy}`);
    }
  }
  return remarks;
}
