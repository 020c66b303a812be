/** Keeps what an output was really made with. */
import { jobFromJson } from '../../core/job/job-json.ts';
import { isFleet, sideVehicle } from '../../core/job/vehicles.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import type { Result } from '../../core/measure/result.ts';
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
  const written = new Set(files.flatMap(({ panelId }) => panelId ?? []));
  const units = new Map<string, Set<string>>();
  for (const { side, panels } of jobLayout(job)) {
    for (const { id, filmId } of panels) {
      if (!written.has(id)) continue;
      const own = units.get(filmId) ?? new Set<string>();
      units.set(filmId, own);
      if (isFleet(job)) for (const unit of sideVehicle(job, side).units) own.add(unit.unitNumber);
    }
  }
  return [...units].map(([filmId, own]) => ({ filmId, unitNumbers: [...own] }));
}
