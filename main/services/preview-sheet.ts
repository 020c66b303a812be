import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ServiceParts } from './service-parts.ts';
import { sheetRequest } from './sheet-request.ts';

/** A page of a sheet as the screen shows it before anything is written. */
export async function previewSheet(
  parts: Pick<ServiceParts, 'archive' | 'pictures' | 'work'>,
  { job, kind, page, widthPx }: ContractRequest<'sheet:preview'>,
  tools: TaskTools,
): Promise<Result<ContractReply<'sheet:preview'>>> {
  const { pictures, work } = parts;
  const request = await sheetRequest(parts, job, kind);
  if (!request.ok) return request;
  const drawn = await work.run('sheets', request.value, tools);
  if (!drawn.ok) return drawn;
  const { bytes, pageCount } = firstOf(drawn.value.sheets);
  const picture = await pictures.pdfPage(bytes, Math.min(page, pageCount), widthPx, tools.signal);
  if (picture) return resultOk({ pageCount, picture });
  return resultProblem({
    code: 'picture-not-drawable',
    message: 'The sheet could not be drawn for the screen.',
    remedy: 'Write it to a file and open it in a viewer.',
  });
}
