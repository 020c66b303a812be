/**
 * The job on the bench: its history, what is derived from it, and its saving. Every edit goes through
 * `editJob`, which keeps the undo history and saves after each edit; nothing else changes a job.
 */
import { batch, computed, effect, signal } from '@preact/signals';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { Progress } from '../../core/contract/parts.ts';
import type { ArtworkFacts } from '../../core/contract/verbs-artwork.ts';
import { artworkSet } from '../../core/job/edits/edits.ts';
import {
  historyEdited,
  historyOf,
  historyRedone,
  historyUndone,
  type JobHistory,
} from '../../core/job/history.ts';
import { jobWithId } from '../../core/job/job-copy.ts';
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { jobLayout, type PageExtents, type SideLayout } from '../../core/layout/side-layout.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import { ask, tell } from '../client/client.ts';
import { keepHistory, keptHistory } from './kept-history.ts';
import { showDone, showProblem } from './notices.ts';
import { route, showScreen } from './route.ts';
import { forgetUnsaved, keepUnsaved, unsavedJobs, unsavedOf } from './unsaved.ts';

/** Edits in quick succession, such as a drag, are saved together after this pause. */
const SAVE_PAUSE_MS = 300;
const LOCK_WAIT_MS = 400;

export type SaveState = 'saved' | 'waiting' | 'saving' | 'failed' | 'read-only';

const history = signal<JobHistory | undefined>(undefined);
const revision = signal(0);
const lockedBy = signal<ContractReply<'job:open'>['lockedBy']>(undefined);

export const job = computed(() => history.value?.present);
export const jobHistory = computed(() => history.value);
export const saveState = signal<SaveState>('saved');
export const artworkFacts = signal<ArtworkFacts | undefined>(undefined);
export const isReadOnly = computed(() => lockedBy.value !== undefined);
/** Who has the job open for editing, as far as this window knows. */
export const jobHolder = signal<ContractReply<'job:news'>['holder']>(undefined);
export const isHeldElsewhere = computed(() => lockedBy.value === 'another-window');
/** Another program saved the job after it was opened here, so the state here cannot be saved over it. */
export const isOvertaken = signal(false);

export const pageExtents = computed<PageExtents | undefined>(() => {
  const facts = artworkFacts.value;
  if (!facts || !isSameArtwork(facts.reference, job.value?.artwork)) return undefined;
  return new Map(facts.pages.map((page) => [page.number, rectFromStored<'drawn'>(page.extent)]));
});

export const layouts = computed<readonly SideLayout[]>(() =>
  job.value ? jobLayout(job.value, pageExtents.value) : [],
);

let latestOpening = 0;

/** Opens a job from the archive, or shows why not. If another job is requested meanwhile, that one wins. */
export async function openJob(id: string): Promise<boolean> {
  const mine = ++latestOpening;
  if (job.value?.id === id) return true;
  if (!(await closeJob()) || mine !== latestOpening) return false;
  const opened = await openJobWhenFree(id);
  if (mine !== latestOpening) {
    if (job.value?.id !== id) await ask('job:close', { id });
    return false;
  }
  if (!opened.ok) {
    showProblem(opened.problem);
    return false;
  }
  showJob(opened.value);
  return true;
}

/** After a reload the previous page may still be releasing the job, which shows as a short wait. */
async function openJobWhenFree(id: string) {
  const opened = await ask('job:open', { id });
  if (!opened.ok || opened.value.lockedBy === undefined) return opened;
  await new Promise((resolve) => setTimeout(resolve, LOCK_WAIT_MS));
  return await ask('job:open', { id });
}

/** Edits the job here, as last saved; the other window becomes read-only. */
export async function takeOverJob(): Promise<void> {
  const id = job.value?.id;
  if (id === undefined) return;
  const opened = await ask('job:open', { id, takeOver: true });
  if (!opened.ok) return showProblem(opened.problem);
  if (job.value?.id === id) showJob(opened.value);
}

/**
 * Applies changes at other seats to the open job: a read-only job follows what is saved there, and a job taken over by
 * another seat becomes read-only here. True where this seat had requested the job and may edit it now.
 */
export async function applyNews(
  { revision: saved, holder }: ContractReply<'job:news'>,
  isAsking: boolean,
): Promise<boolean> {
  const before = jobHolder.value;
  jobHolder.value = holder;
  if (isHeldElsewhere.value) {
    if (!holder && isAsking) {
      await takeOverJob();
      return true;
    }
    if (saved !== undefined && saved !== revision.value) await readAgain();
    return false;
  }
  if (isReadOnly.value || !holder || holder.isHere) return false;
  lockedBy.value = 'another-window';
  if (saveState.value === 'saved') saveState.value = 'read-only';
  if (before?.isHere !== false)
    showDone(`${holder.person} at ${holder.machine} edits this job now. It can be read here.`);
  return false;
}

/** Does not take the job, even where it is free by now. */
async function readAgain(): Promise<void> {
  const id = job.value?.id;
  if (id === undefined) return;
  const found = await ask('job:read', { id });
  if (!found.ok || job.value?.id !== id || !isHeldElsewhere.value) return;
  batch(() => {
    history.value = historyOf(found.value.job);
    revision.value = found.value.revision;
    savedJob = found.value.job;
  });
}

/** Saves the job and hands it to the user who requested it. */
export async function handOverJob(): Promise<void> {
  const leaving = job.value;
  if (!leaving) return;
  await saveNow();
  if (job.value?.id !== leaving.id || saveState.value === 'failed') return;
  batch(() => {
    lockedBy.value = 'another-window';
    saveState.value = 'read-only';
    jobHolder.value = undefined;
  });
  await ask('job:close', { id: leaving.id });
}

/** Shows the job as another program saved it; unsaved changes here are dropped. */
export async function openSavedJob(): Promise<void> {
  const id = job.value?.id;
  if (id === undefined) return;
  const opened = await ask('job:open', { id });
  if (!opened.ok) return showProblem(opened.problem);
  forgetUnsaved(id);
  if (job.value?.id === id) showJob(opened.value);
}

/** Saves what could not be saved as a separate job, beside the one that another program saved. Returns its id. */
export async function saveAsCopy(): Promise<string | undefined> {
  const current = job.value;
  if (!current) return undefined;
  for (let n = 2; ; n++) {
    const copy = { ...jobWithId(current, crypto.randomUUID()), number: `${current.number}-${n}` };
    const saved = await ask('job:save', { job: copy, baseRevision: 0 });
    if (saved.ok) {
      forgetUnsaved(current.id);
      const opened = await ask('job:open', { id: current.id });
      // It may have been deleted.
      if (opened.ok) showJob(opened.value);
      else dropJob();
      return copy.id;
    }
    if (saved.problem.code === 'job-number-taken') continue;
    showProblem(saved.problem);
    return undefined;
  }
}

function showJob(opened: ContractReply<'job:open'>): void {
  batch(() => {
    history.value = keptHistory(opened.job) ?? historyOf(opened.job);
    revision.value = opened.revision;
    lockedBy.value = opened.lockedBy;
    jobHolder.value = opened.holder;
    saveState.value = opened.lockedBy === undefined ? 'saved' : 'read-only';
    isOvertaken.value = false;
    savedJob = opened.job;
  });
  bringBackUnsaved(opened);
}

/**
 * Restores the edit that a page could not save when it closed. Where another program saved the job since, saving is
 * rejected, and the user is asked which one to keep.
 */
function bringBackUnsaved({ job: opened, lockedBy: holder }: ContractReply<'job:open'>): void {
  const left = unsavedOf(opened.id);
  if (!left || holder !== undefined) return;
  if (JSON.stringify(left.job) === JSON.stringify(opened)) {
    forgetUnsaved(opened.id);
    return;
  }
  revision.value = left.baseRevision;
  editJob('Bring back the last edit', () => resultOk(left.job));
  showDone('The last edit, which was not saved when its page closed, is back. Undo takes it away.');
}

/** Reports which jobs have an edit stored in this browser; called once. */
export function tellUnsaved(): void {
  for (const { id, number } of unsavedJobs()) {
    const here = route.value;
    if ('jobId' in here && here.jobId === id) continue;
    showProblem({
      code: 'edit-unsaved',
      message: `The last edit of job ${number} was not saved when its page closed. This browser has kept it.`,
      remedy: 'Open the job: the edit comes back and is saved.',
    });
  }
}

/** Saves unsaved changes and releases the job. */
export async function leaveJob(): Promise<void> {
  latestOpening++;
  await closeJob();
}

/** False where something could not be saved: the user then returns to the job to save or drop it. */
async function closeJob(): Promise<boolean> {
  const leaving = job.value;
  if (!leaving) return true;
  await saveNow();
  // Another call may have closed it meanwhile, and opened the next one.
  if (job.value?.id !== leaving.id) return true;
  if (saveState.value === 'failed') {
    showScreen({ screen: 'bench', jobId: leaving.id });
    return false;
  }
  dropJob();
  await ask('job:close', { id: leaving.id });
  return true;
}

function dropJob(): void {
  if (history.value) keepHistory(history.value);
  batch(() => {
    history.value = undefined;
    artworkFacts.value = undefined;
    artworkLocked.value = undefined;
    lockedBy.value = undefined;
    jobHolder.value = undefined;
    isOvertaken.value = false;
    saveState.value = 'saved';
  });
}

const isSameArtwork = (a: ArtworkReference | undefined, b: ArtworkReference | undefined): boolean =>
  a?.sha256 === b?.sha256 && a?.box === b?.box;

/**
 * Keeps the facts of the artwork in step with the job, undo included; called once. The pages come first, so that work
 * can begin; scanning their contents takes longer.
 */
export function followArtwork(): void {
  const reference = computed(() => job.value?.artwork);
  effect(() => {
    const wanted = reference.value;
    const known = artworkFacts.value;
    if (!wanted) return;
    if (!isSameArtwork(known?.reference, wanted)) void readArtworkFacts(wanted, true);
    else if (!known?.scan) void readArtworkFacts(wanted, false);
  });
}

async function readArtworkFacts(reference: ArtworkReference, isBrief: boolean): Promise<void> {
  const facts = await ask('artwork:facts', { reference, isBrief });
  if (!isSameArtwork(reference, job.value?.artwork)) return;
  if (facts.ok) artworkFacts.value = facts.value;
  else refuseArtwork(facts.problem);
}

/** Why the artwork of the job cannot be read until its password is entered. */
export const artworkLocked = signal<Problem | undefined>(undefined);

/** Whether a PDF opens once its password is given. */
export const isPasswordAsked = ({ code }: Problem): boolean =>
  code === 'pdf-password-needed' || code === 'pdf-password-wrong';

function refuseArtwork(problem: Problem): void {
  if (isPasswordAsked(problem)) {
    artworkLocked.value = problem;
  } else {
    showProblem(problem);
  }
}

/** Tries a password on the artwork of the job; it is remembered until the program ends. */
export async function unlockArtwork(password: string): Promise<void> {
  const reference = job.value?.artwork;
  if (!reference) return;
  const facts = await ask('artwork:facts', { reference, isBrief: true, password });
  if (!isSameArtwork(reference, job.value?.artwork)) return;
  artworkLocked.value = undefined;
  if (facts.ok) artworkFacts.value = facts.value;
  else refuseArtwork(facts.problem);
}

/**
 * Applies an edit: `edit` is one of core/job/edits with its arguments. Edits with the same `gesture` become one undo
 * step. Returns the problem, which is shown to the user unless `isQuiet`.
 */
export function editJob(
  label: string,
  edit: (job: Job) => Result<Job, Problem>,
  options: { readonly gesture?: string; readonly isQuiet?: boolean } = {},
): Problem | undefined {
  const current = history.value;
  if (!current) return undefined;
  if (isReadOnly.value) {
    const problem = isHeldElsewhere.value ? heldElsewhere : archiveReadOnly;
    showProblem(problem);
    return problem;
  }
  const edited = edit(current.present);
  if (!edited.ok) {
    if (!options.isQuiet) showProblem(edited.problem);
    return edited.problem;
  }
  history.value = historyEdited(current, {
    label,
    job: edited.value,
    ...(options.gesture !== undefined && { gesture: options.gesture }),
  });
  return undefined;
}

export function undoEdit(): void {
  if (history.value && !isReadOnly.value) history.value = historyUndone(history.value);
}

/** Undoes several edits: 1 is the last one. */
export function undoEdits(steps: number): void {
  if (!history.value || isReadOnly.value) return;
  let undone = history.value;
  for (let step = 0; step < steps; step++) undone = historyUndone(undone);
  history.value = undone;
}

export function redoEdit(): void {
  if (history.value && !isReadOnly.value) history.value = historyRedone(history.value);
}

let saving: Promise<void> = Promise.resolve();
let timer: ReturnType<typeof setTimeout> | undefined;
let savedJob: Job | undefined;

/** Saves after every edit; called once. */
export function startAutosave(): void {
  effect(() => {
    const current = job.value;
    if (!current || isReadOnly.value) {
      savedJob = current;
      return;
    }
    if (savedJob?.id !== current.id) savedJob = current;
    saveSoon();
  });
  window.addEventListener('pagehide', () => {
    const leaving = job.value;
    if (!leaving || isReadOnly.value) return;
    if (leaving !== savedJob) {
      const unsaved = { job: leaving, baseRevision: revision.value };
      if (!tell('job:save', unsaved) || saveState.value === 'failed') keepUnsaved(unsaved);
    }
    if (history.value) keepHistory(history.value);
    tell('job:close', { id: leaving.id });
  });
}

function saveSoon(): void {
  clearTimeout(timer);
  if (job.value === savedJob) {
    // Undone before it was saved. A save in progress returns here when it is done.
    if (['waiting', 'failed'].includes(saveState.peek())) saveState.value = 'saved';
    return;
  }
  saveState.value = 'waiting';
  timer = setTimeout(() => void saveNow(), SAVE_PAUSE_MS);
}

/** Saves unsaved changes, one save after another, because each names the revision that it began from. */
export async function saveNow(): Promise<void> {
  clearTimeout(timer);
  saving = saving.then(saveOnce);
  await saving;
}

async function saveOnce(): Promise<void> {
  const current = job.value;
  if (!current || current === savedJob || isReadOnly.value) return;
  saveState.value = 'saving';
  const saved = await ask('job:save', { job: current, baseRevision: revision.value });
  const isStillOpen = job.value?.id === current.id;
  if (!saved.ok) {
    showProblem(saved.problem);
    if (!isStillOpen) return;
    if (saved.problem.code === 'job-open-elsewhere') lockedBy.value = 'another-window';
    isOvertaken.value = saved.problem.code === 'job-changed-elsewhere';
    saveState.value = isReadOnly.value ? 'read-only' : 'failed';
    return;
  }
  forgetUnsaved(current.id);
  if (!isStillOpen) return;
  revision.value = saved.value.revision;
  savedJob = current;
  if (job.value === current) saveState.value = 'saved';
  else if (job.value) saveSoon();
}

/** Makes the selected PDFs the artwork of the job. Resolves to the problem, if there is one. */
export async function importArtwork(
  [file, ...others]: readonly [string, ...string[]],
  options: {
    readonly box: PageBox;
    readonly password?: string;
    readonly signal?: AbortSignal;
    readonly onProgress?: (progress: Progress) => void;
  },
): Promise<Problem | undefined> {
  const { box } = options;
  const facts = await ask(
    'artwork:import',
    {
      file,
      box,
      ...(others.length > 0 && { others }),
      ...(options.password !== undefined && { password: options.password }),
    },
    {
      ...(options.signal && { signal: options.signal }),
      ...(options.onProgress && { onProgress: options.onProgress }),
    },
  );
  if (!facts.ok) return facts.problem;
  return batch(() => {
    artworkFacts.value = facts.value;
    return editJob('Import artwork', (current) => artworkSet(current, facts.value));
  });
}

const archiveReadOnly: Problem = {
  code: 'job-read-only',
  message: 'The archive can only be read, so nothing in it can be changed.',
  remedy: 'Ask for access to the archive folder, or work in another archive.',
};

const heldElsewhere: Problem = {
  code: 'job-read-only',
  message: 'This job is open in another window, so it can only be read here.',
  remedy: 'Close it there and open it again here, or duplicate the job.',
};
