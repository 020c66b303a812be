import { codeNumbers } from '../../core/output/scanned-code.ts';
import type { Archive } from '../archive/port.ts';

/** The job of a code that a scanner typed, as sheets, labels and film carry it; undefined where there is none. */
export async function scannedJob({ jobs }: Pick<Archive, 'jobs'>, text: string): Promise<string | undefined> {
  for (const number of codeNumbers(text)) {
    const job = await jobs.withNumber(number);
    if (job) return job.id;
    const byId = await jobs.find(number);
    if (byId.ok) return byId.value.id;
  }
  return undefined;
}
