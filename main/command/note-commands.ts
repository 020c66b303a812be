/** Notes and photos of panels, to be read before a panel is printed again. */
import { basename } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
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
      const rows = notes.map(({ panelLabel, at, by, text, photos }) => [
        panelLabel,
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
  readonly text: string;
  readonly by: string;
  readonly photo: readonly string[];
}

export const noteCommand =
  (idOrNumber: string, { panel, text, by, photo }: NoteOptions) =>
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
      const given = { panelId: found.id, panelLabel: panel, text, by };
      let note = await keepNote({ archive, now }, stored.value.id, given);
      for (const path of photo) {
        if (note.ok) note = await addPhoto(archive, note.value.id, { path, fileName: basename(path) });
      }
      if (!note.ok) return note;
      const { photos } = note.value;
      const withPhotos =
        photos.length === 0 ? '' : ` with ${photos.length} photo${photos.length === 1 ? '' : 's'}`;
      terminal.printResult(note.value, [`Kept at panel ${printable(panel)}${withPhotos}.`]);
      return resultOk('done');
    });
