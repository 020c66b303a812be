import type { ContractReply } from '../../core/contract/contract.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { readKeptManifest } from './kept-manifest.ts';
import { unitsOfSide } from './reprint-vehicle.ts';
import type { ActParts } from './service-parts.ts';

/** The panels of a past output as they were written, and the film that some of them need again. */
export async function panelsToReprint(
  { archive, planning }: Pick<ActParts, 'archive' | 'planning'>,
  outputId: number,
  labels: readonly string[],
  tools: TaskTools,
): Promise<Result<ContractReply<'reprint:panels'>>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const job = jobFromJson(output.value.document);
  if (!job.ok) return job;
  const manifest = await readKeptManifest(archive.vault, output.value);
  if (!manifest.ok) return manifest;
  const { panels } = manifest.value;
  const film = await planning.run(
    'reprintFilm',
    { job: job.value, panels: panels.filter(({ label }) => labels.includes(label)) },
    tools,
  );
  if (!film.ok) return film;
  return resultOk({
    panels: panels.map(
      ({ file, label, panelId, sideId, sideCode, installOrder, finishedBox, filmBox, mirrored }) => ({
        file,
        label,
        panelId,
        sideCode,
        unitNumbers: unitsOfSide(job.value, sideId).map(({ unitNumber }) => unitNumber),
        installOrder,
        widthMm: filmBox.widthMm,
        heightMm: filmBox.heightMm,
        finishedBox,
        filmBox,
        isMirrored: mirrored ?? false,
      }),
    ),
    film: film.value,
  });
}
