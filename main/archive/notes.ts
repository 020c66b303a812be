import type Database from 'better-sqlite3';
import type { PanelNote } from '../../core/contract/panel-note.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import type { ArchiveProblem, Notes } from './port.ts';
import type { Store } from './store.ts';

const NOTE = `id, panel_id AS panelId, panel_label AS panelLabel, text, written_by AS by, at`;
const PHOTO = `sha256, file_name AS fileName, media_type AS mediaType, width_px AS widthPx, height_px AS heightPx,
  size_bytes AS sizeBytes`;

export class SqliteNotes implements Notes {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async list(jobId: string): Promise<PanelNote[]> {
    return await this.#store.read((db) =>
      db
        .prepare<[string], Omit<PanelNote, 'photos'>>(
          `SELECT ${NOTE} FROM panel_notes WHERE job_id = ? ORDER BY at, id`,
        )
        .all(jobId)
        .map((note) => ({ ...note, photos: photosOf(db, note.id) })),
    );
  }

  async keep(jobId: string, { photos, ...note }: PanelNote): Promise<void> {
    await this.#store.write((db) => {
      deleteNote(db, note.id);
      db.prepare(
        `INSERT INTO panel_notes (id, job_id, panel_id, panel_label, text, written_by, at)
         VALUES (@id, @jobId, @panelId, @panelLabel, @text, @by, @at)`,
      ).run({ ...note, jobId });
      for (const photo of photos) addPhoto(db, note.id, photo);
    });
  }

  async addPhoto(noteId: string, photo: PhotoFile): Promise<Result<PanelNote, ArchiveProblem>> {
    return await this.#store.write((db) => {
      const note = noteOf(db, noteId);
      if (!note) return resultProblem(noteUnknown);
      // The same photo twice says no more.
      if (!note.photos.some(({ sha256 }) => sha256 === photo.sha256)) addPhoto(db, noteId, photo);
      return resultOk(noteOf(db, noteId)!);
    });
  }

  async find(noteId: string): Promise<Result<PanelNote, ArchiveProblem>> {
    const note = await this.#store.read((db) => noteOf(db, noteId));
    return note ? resultOk(note) : resultProblem(noteUnknown);
  }

  async remove(noteId: string): Promise<void> {
    await this.#store.write((db) => deleteNote(db, noteId));
  }
}

const photosOf = (db: Database.Database, noteId: string): PhotoFile[] =>
  db
    .prepare<[string], PhotoFile>(`SELECT ${PHOTO} FROM note_photos WHERE note_id = ? ORDER BY place`)
    .all(noteId);

function noteOf(db: Database.Database, noteId: string): PanelNote | undefined {
  const note = db
    .prepare<[string], Omit<PanelNote, 'photos'>>(`SELECT ${NOTE} FROM panel_notes WHERE id = ?`)
    .get(noteId);
  return note && { ...note, photos: photosOf(db, noteId) };
}

const addPhoto = (db: Database.Database, noteId: string, photo: PhotoFile) =>
  db
    .prepare(
      `INSERT INTO note_photos (note_id, place, sha256, file_name, media_type, width_px, height_px, size_bytes)
       VALUES (@noteId, (SELECT count(*) FROM note_photos WHERE note_id = @noteId), @sha256, @fileName, @mediaType,
         @widthPx, @heightPx, @sizeBytes)`,
    )
    .run({ ...photo, noteId });

function deleteNote(db: Database.Database, noteId: string): void {
  db.prepare('DELETE FROM note_photos WHERE note_id = ?').run(noteId);
  db.prepare('DELETE FROM panel_notes WHERE id = ?').run(noteId);
}

const noteUnknown: ArchiveProblem = {
  code: 'note-unknown',
  message: 'The archive no longer has this note.',
  remedy: 'Write it again at the panel.',
};
