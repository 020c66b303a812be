import { open } from 'node:fs/promises';
import { DOCUMENT_MARK } from '../../core/drawing/document-mark.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { writeFileAtomically } from './atomic-write.ts';
import { type FileProblem, tryFiles } from './file-problem.ts';

/** The trailer is at the end of a file, before a short table of offsets. */
const TAIL_BYTES = 1 << 16;

/** Both halves are equal as long as no other program has changed the file (ISO 32000-1, 14.4). */
const OWN_IDENTIFIER = new RegExp(`/ID\\s*\\[\\s*<([0-9a-f]{20}${DOCUMENT_MARK})>\\s*<\\1>\\s*\\]`, 'i');

/** Writes a drawn document, replacing an earlier one. A file that this program did not draw is not replaced. */
export async function writeOwnDocument(path: string, bytes: Uint8Array): Promise<Result<void>> {
  return await tryFiles(path, async () => {
    if ((await isOwnDocument(path)) === false) return resultProblem(notOurs(path));
    await writeFileAtomically(path, bytes);
    return resultOk(undefined);
  });
}

/** Undefined where the file does not exist. */
async function isOwnDocument(path: string): Promise<boolean | undefined> {
  const file = await open(path, 'r').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return undefined;
    throw error;
  });
  try {
    if (!file) return undefined;
    const { size } = await file.stat();
    const length = Math.min(size, TAIL_BYTES);
    const { buffer } = await file.read(Buffer.alloc(length), 0, length, size - length);
    return OWN_IDENTIFIER.test(buffer.toString('latin1'));
  } finally {
    await file?.close();
  }
}

const notOurs = (path: string): FileProblem => ({
  code: 'file-exists',
  message: `${path} is there already, and Panelwright did not write it as it is now.`,
  remedy: 'Select another name, or move that file away. Nothing was written.',
});
