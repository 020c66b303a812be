import { join } from 'node:path';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { Job } from '../../core/job/schema.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { DrawnKind } from '../../core/output/sheet-kind.ts';
import { writeOwnDocument } from '../files/own-document.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ServiceParts } from './service-parts.ts';
import { sheetRequest } from './sheet-request.ts';

interface SheetToSave {
  readonly job: Job;
  readonly kind: DrawnKind;
  readonly to: string;
}

/** One sheet as it is seen, to a folder of the person's choice. */
export async function saveSheet(
  parts: Pick<ServiceParts, 'archive' | 'pictures' | 'work'>,
  { job, kind, to }: SheetToSave,
  tools: TaskTools,
): Promise<Result<ContractReply<'sheet:save'>>> {
  const request = await sheetRequest(parts, job, kind);
  if (!request.ok) return request;
  const drawn = await parts.work.run('sheets', request.value, tools);
  if (!drawn.ok) return drawn;
  const { name: fileName, bytes } = firstOf(drawn.value.sheets);
  const written = await writeOwnDocument(join(to, fileName), bytes);
  return written.ok ? resultOk({ fileName, remarks: [...drawn.value.remarks] }) : written;
}
