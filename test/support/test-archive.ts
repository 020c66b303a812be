import { openArchive } from '../../main/archive/archive.ts';
import type { Archive, ArchiveOptions } from '../../main/archive/port.ts';

export async function testArchive(folder: string, options?: ArchiveOptions): Promise<Archive> {
  const opened = await openArchive(folder, options);
  if (!opened.ok) throw new Error(opened.problem.message);
  return opened.value;
}
