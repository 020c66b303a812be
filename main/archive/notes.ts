import type { PanelNote } from '../../core/contract/panel-note.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import type { ArchiveProblem, Notes } from './port.ts';
import type { Sql, Store } from './sql.ts';

const NOTE = `id, panel_id AS "panelId", panel_label AS "panelLabel", unit_number AS "unitNumber", text, written_by AS by, at`;
const PHOTO = `sha256, file_name AS "fileName", media_type AS "mediaType", width_px AS "widthPx", height_px AS "heightPx",
  size_bytes AS "sizeBytes"`;

export class StoredNotes implements Notes {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async list(jobId: string): Promise<PanelNote[]> {
    return await this.#store.read(async (sql) => {
      const notes: PanelNote[] = [];
      for (const note of await sql.all<NoteRow>(
        `SELECT ${NOTE} FROM panel_notes WHERE job_id = ? ORDER BY at, id`,
        [jobId],
      ))
        notes.push(noteFromRow(note, await photosOf(sql, note.id)));
      return notes;
    });
  }

  async keep(jobId: string, { photos, ...note }: PanelNote): Promise<void> {
    await this.#store.write(async (sql) => {
      await deleteNote(sql, note.id);
      await sql.run(
        `INSERT INTO panel_notes (id, job_id, panel_id, panel_label, unit_number, text, written_by, at)
         VALUES (@id, @jobId, @panelId, @panelLabel, @unitNumber, @text, @by, @at)`,
        { ...note, unitNumber: note.unitNumber ?? null, jobId },
      );
      for (const photo of photos) await addPhoto(sql, note.id, photo);
    });
  }

  async addPhoto(noteId: string, photo: PhotoFile): Promise<Result<PanelNote, ArchiveProblem>> {
    return await this.#store.write(async (sql) => {
      const note = await noteOf(sql, noteId);
      if (!note) return resultProblem(noteUnknown);
      // Adding the same photo twice tells nothing more.
      if (!note.photos.some(({ sha256 }) => sha256 === photo.sha256)) await addPhoto(sql, noteId, photo);
      return resultOk(present(await noteOf(sql, noteId), 'The note that was written'));
    });
  }

  async find(noteId: string): Promise<Result<PanelNote, ArchiveProblem>> {
    const note = await this.#store.read((sql) => noteOf(sql, noteId));
    return note ? resultOk(note) : resultProblem(noteUnknown);
  }

  async remove(noteId: string): Promise<void> {
    await this.#store.write((sql) => deleteNote(sql, noteId));
  }
}

const photosOf = (sql: Sql, noteId: string): Promise<PhotoFile[]> =>
  sql.all<PhotoFile>(`SELECT ${PHOTO} FROM note_photos WHERE note_id = ? ORDER BY place`, [noteId]);

async function noteOf(sql: Sql, noteId: string): Promise<PanelNote | undefined> {
  const note = await sql.first<NoteRow>(`SELECT ${NOTE} FROM panel_notes WHERE id = ?`, [noteId]);
  return note && noteFromRow(note, await photosOf(sql, noteId));
}

interface NoteRow extends Omit<PanelNote, 'photos' | 'unitNumber'> {
  readonly unitNumber: string | null;
}

const noteFromRow = ({ unitNumber, ...note }: NoteRow, photos: PhotoFile[]): PanelNote => ({
  ...note,
  ...(unitNumber !== null && { unitNumber }),
  photos,
});

const addPhoto = (sql: Sql, noteId: string, photo: PhotoFile): Promise<void> =>
  sql.run(
    `INSERT INTO note_photos (note_id, place, sha256, file_name, media_type, width_px, height_px, size_bytes)
     VALUES (@noteId, (SELECT count(*) FROM note_photos WHERE note_id = @noteId), @sha256, @fileName, @mediaType,
       @widthPx, @heightPx, @sizeBytes)`,
    { ...photo, noteId },
  );

async function deleteNote(sql: Sql, noteId: string): Promise<void> {
  await sql.run('DELETE FROM note_photos WHERE note_id = ?', [noteId]);
  await sql.run('DELETE FROM panel_notes WHERE id = ?', [noteId]);
}

const noteUnknown: ArchiveProblem = {
  code: 'note-unknown',
  message: 'The archive no longer has this note.',
  remedy: 'Write it again at the panel.',
};
