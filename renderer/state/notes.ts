/** What the shop noted at the panels of the open job. */
import { computed, effect, signal } from '@preact/signals';
import type { PanelNote } from '../../core/contract/panel-note.ts';
import { ask, offerFile } from '../client/client.ts';
import { showProblem } from './notices.ts';
import { job } from './open-job.ts';

const read = signal<{ readonly jobId: string; readonly notes: readonly PanelNote[] } | undefined>(undefined);

/** Oldest first; undefined until they were read. */
export const panelNotes = computed(() =>
  read.value?.jobId === job.value?.id ? read.value?.notes : undefined,
);

export const notesOfPanel = (panelId: string): readonly PanelNote[] =>
  panelNotes.value?.filter((note) => note.panelId === panelId) ?? [];

async function readNotes(jobId: string): Promise<void> {
  const notes = await ask('note:list', { jobId });
  if (notes.ok) read.value = { jobId, notes: notes.value };
  else showProblem(notes.problem);
}

/** Reads the notes of each job that is opened; called once. */
export function followNotes(): void {
  const openId = computed(() => job.value?.id);
  effect(() => {
    const jobId = openId.value;
    if (jobId !== undefined) void readNotes(jobId);
  });
}

interface NewNote {
  readonly panelId: string;
  readonly panelLabel: string;
  /** Of a fleet: the vehicle whose panel it is; absent: all of them. */
  readonly unitNumber?: string | undefined;
  readonly text: string;
  readonly by: string;
}

/** True where the note was saved; photos that could not be saved are named one by one. */
export async function keepNote(note: NewNote, files: readonly File[]): Promise<boolean> {
  const jobId = job.value?.id;
  if (jobId === undefined) return false;
  const kept = await ask('note:keep', { jobId, ...note });
  if (!kept.ok) {
    showProblem(kept.problem);
    return false;
  }
  for (const file of files) await addPhotoFile(kept.value.id, file);
  await readNotes(jobId);
  return true;
}

async function addPhotoFile(noteId: string, file: File): Promise<void> {
  const offered = await offerFile(file);
  if (!offered.ok) return showProblem(offered.problem);
  const added = await ask('note:add-photo', { noteId, file: offered.value.token });
  if (!added.ok) showProblem(added.problem);
}

export async function removeNote({ id }: PanelNote): Promise<void> {
  const removed = await ask('note:remove', { noteId: id });
  if (!removed.ok) return showProblem(removed.problem);
  const jobId = job.value?.id;
  if (jobId !== undefined) await readNotes(jobId);
}
