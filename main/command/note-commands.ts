/** Notes and photos of panels, to be read before a panel is printed again. */
import { basename } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job, VehicleUnit } from '../../core/job/schema.ts';
import { sideVehicle, unitKey } from '../../core/job/vehicles.ts';
import type { Panel } from '../../core/layout/panel.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { printLabel } from '../../core/output/printed-panels.ts';
import { pastTime } from '../files/clock-text.ts';
import { addPhoto, keepNote } from '../services/panel-notes.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

export const notesCommand =
  (idOrNumber: string) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const job = await archive.jobs.find(idOrNumber);
      if (!job.ok) return job;
      const notes = await archive.notes.list(job.value.id);
      const rows = notes.map(({ panelLabel, unitNumber, at, by, text, photos }) => [
        unitNumber === undefined ? panelLabel : printLabel(panelLabel, unitNumber),
        pastTime(at),
        by,
        photos.map(({ fileName }) => fileName).join(', '),
        text,
      ]);
      terminal.printResult(notes, rows.length > 0 ? tableLines(rows) : ['No panel of this job has a note.']);
      return resultOk('done');
    });

interface NoteOptions {
  readonly panel: string;
  /** Its unit number, of a fleet. */
  readonly vehicle?: string;
  readonly text: string;
  readonly by: string;
  readonly photo: readonly string[];
}

export const noteCommand =
  (idOrNumber: string, { panel, vehicle, text, by, photo }: NoteOptions) =>
  async ({ terminal, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const stored = await archive.jobs.find(idOrNumber);
      if (!stored.ok) return stored;
      const job = jobFromJson(stored.value.document);
      if (!job.ok) return job;
      const panels = jobLayout(job.value).flatMap((layout) => layout.panels);
      const found = panels.find(({ label }) => label === panel);
      if (!found) {
        return resultProblem({
          code: 'panel-label-unknown',
          message: `Job ${stored.value.number} has no panel ${panel}.`,
          remedy: `Select from: ${panels.map(({ label }) => label).join(', ')}.`,
        });
      }
      const unit = vehicle === undefined ? undefined : unitOfPanel(job.value, found, vehicle);
      if (unit && !unit.ok) return unit;
      const given = {
        ...{ panelId: found.id, panelLabel: panel, text, by },
        ...(unit && { unitNumber: unit.value.unitNumber }),
      };
      let note = await keepNote({ archive, now }, stored.value.id, given);
      for (const path of photo) {
        if (note.ok) note = await addPhoto(archive, note.value.id, { path, fileName: basename(path) });
      }
      if (!note.ok) return note;
      const { photos } = note.value;
      const withPhotos =
        photos.length === 0 ? '' : ` with ${photos.length} photo${photos.length === 1 ? '' : 's'}`;
      terminal.printResult(note.value, [
        `Kept at panel ${printable(panel)}${unit ? ` of ${printable(unit.value.unitNumber)}` : ''}${withPhotos}.`,
      ]);
      return resultOk('done');
    });

/** The vehicle that is named, if the panel is one of its own. */
function unitOfPanel(job: Job, { sideId, label }: Panel, named: string): Result<VehicleUnit> {
  const { units } = sideVehicle(
    job,
    foundIn(job.sides, ({ id }) => id === sideId),
  );
  const unit = units.find(({ unitNumber }) => unitKey(unitNumber) === unitKey(named));
  if (unit) return resultOk(unit);
  return resultProblem({
    code: 'unit-unknown',
    message: `Panel ${label} is on no vehicle ${printable(named)}.`,
    remedy: `Select from: ${units.map(({ unitNumber }) => printable(unitNumber)).join(', ')}.`,
  });
}
