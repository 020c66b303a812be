/** Keeps what an output was really made with. */
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Result } from '../../core/measure/result.ts';
import { filmPanels } from '../../core/output/film-panels.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { recordTidied } from '../../core/output/record-fields.ts';
import { recordCompleted } from '../../core/output/record-parts.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';

export async function keepRecord(
  archive: Archive,
  output: ArchivedOutput,
  record: ProductionRecord,
): Promise<Result<ArchivedOutput>> {
  const completed = recordCompleted(recordTidied(record), filmsOfOutput(output));
  return await archive.outputs.keepRecord(output.id, completed);
}

/** The films that panels of an output are on, each with its vehicles where there are several. */
function filmsOfOutput({ document, files, kind, unitNumber }: ArchivedOutput) {
  const read = jobFromJson(document);
  if (!read.ok) return [];
  const job = kind === 'reprint' ? jobOfReprint(read.value, unitNumber) : read.value;
  const written = files.flatMap(({ panelId, panelLabel: label = '' }) =>
    panelId === undefined ? [] : [{ panelId, label }],
  );
  return filmPanels(job, written);
}
