import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { isBeforeArtwork } from '../../core/output/sheet-kind.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkOfJob } from './artwork-in-vault.ts';
import type { ServiceParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';

/** A page of a sheet as the screen shows it before anything is written. */
export async function previewSheet(
  parts: Pick<ServiceParts, 'archive' | 'pictures' | 'work'>,
  { job, kind, page, widthPx }: ContractRequest<'sheet:preview'>,
  tools: TaskTools,
): Promise<Result<ContractReply<'sheet:preview'>>> {
  const { archive, pictures, work } = parts;
  const artwork = isBeforeArtwork(kind) ? undefined : await artworkOfJob(parts, job);
  if (artwork && !artwork.ok) return artwork;
  const request = {
    job,
    kinds: [kind],
    archiveFolder: archive.folder,
    logo: await shopLogo(archive),
    ...(artwork && { artwork: artwork.value }),
  };
  const drawn = await work.run('sheets', request, tools);
  if (!drawn.ok) return drawn;
  const { bytes, pageCount } = drawn.value.sheets[0]!;
  const picture = await pictures.pdfPage(bytes, Math.min(page, pageCount), widthPx, tools.signal);
  if (picture) return resultOk({ pageCount, picture });
  return resultProblem({
    code: 'picture-not-drawable',
    message: 'The sheet could not be drawn for the screen.',
    remedy: 'Write it to a file and open it in a viewer.',
  });
}
