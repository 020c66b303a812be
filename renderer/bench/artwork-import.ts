/** Imports a PDF: selected, dropped, or with its password entered. */
import { signal } from '@preact/signals';
import type { Chosen, Progress } from '../../core/contract/parts.ts';
import { filesBySide } from '../../core/job/files-by-side.ts';
import type { Job } from '../../core/job/schema.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { ask, host, offerFile } from '../client/client.ts';
import { compareArtworks } from '../state/compare.ts';
import { showProblem } from '../state/notices.ts';
import { importArtwork, isPasswordAsked, job } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';
import { placeArtwork } from './artwork-place.ts';
import { showStage } from './bench-state.ts';

export const artworkProgress = signal<Progress | undefined>(undefined);

/** One PDF, or several that are put together to one artwork. */
export type ChosenFiles = readonly [Chosen, ...Chosen[]];

interface PasswordQuestion {
  readonly files: ChosenFiles;
  readonly message: string;
}
export const passwordQuestion = signal<PasswordQuestion | undefined>(undefined);

/** Trim is what the designer means by the page; where a file has none it is the crop box. */
const FIRST_BOX: PageBox = 'trim';

let abort: AbortController | undefined;

export const cancelArtwork = (): void => abort?.abort();

/** Lets the user select a PDF. */
export async function askForArtwork(): Promise<void> {
  const chosen = await chooseArtwork();
  if (chosen) await takeArtwork(chosen);
}

/** Undefined where nothing was selected, or where the file could not be transferred; then the problem is shown. */
export async function chooseArtwork(): Promise<ChosenFiles | undefined> {
  if (host === 'browser') return await handOver(await pickFiles('application/pdf,.pdf'));
  const chosen = await ask('file:choose', { purpose: 'artwork' });
  if (chosen.ok) return someOf(chosen.value);
  showProblem(chosen.problem);
  return undefined;
}

export async function offerArtwork(files: readonly File[]): Promise<void> {
  const offered = await handOver(files);
  if (offered) await takeArtwork(offered);
}

/** Undefined where a file cannot be transferred; then the problem is shown. */
export async function handOver(files: readonly File[]): Promise<ChosenFiles | undefined> {
  const offered: Chosen[] = [];
  for (const file of files) {
    const each = await handOverOne(file);
    if (!each) return undefined;
    offered.push(each);
  }
  return someOf(offered);
}

const someOf = ([first, ...others]: readonly Chosen[]): ChosenFiles | undefined =>
  first && [first, ...others];

async function handOverOne(file: File): Promise<Chosen | undefined> {
  artworkProgress.value = { what: `Handing over ${file.name}`, done: 0, total: 1 };
  const offered = await offerFile(file, (share) => {
    artworkProgress.value = { what: `Handing over ${file.name}`, done: share, total: 1 };
  });
  artworkProgress.value = undefined;
  if (offered.ok) return offered.value;
  showProblem(offered.problem);
  return undefined;
}

export async function givePassword(password: string): Promise<void> {
  const question = passwordQuestion.value;
  passwordQuestion.value = undefined;
  if (question) await takeArtwork(question.files, password);
}

/** Makes PDFs that were handed over the artwork of the open job, in the order of its sides. */
export async function takeArtwork(files: ChosenFiles, password?: string): Promise<void> {
  abort = new AbortController();
  const before = job.value;
  artworkProgress.value = { what: 'Reading the artwork', done: 0, total: 1 };
  const tokens = filesBySide(files, before?.sides ?? []).map(({ token }) => token);
  const problem = await importArtwork(tokens as [string, ...string[]], {
    box: job.value?.artwork?.box ?? FIRST_BOX,
    signal: abort.signal,
    ...(password !== undefined && { password }),
    onProgress: (progress) => {
      artworkProgress.value = progress;
    },
  });
  artworkProgress.value = undefined;
  if (!problem) {
    if (before?.artwork && job.value && isCorrection(before, job.value)) compareWith(before, job.value);
    else if (job.value?.sides.length === 0) showStage({ kind: 'page', page: 1 });
    else await placeArtwork();
  } else if (isPasswordAsked(problem)) {
    passwordQuestion.value = { files, message: problem.message };
  } else {
    showProblem(problem);
  }
}

/** Whether a job with sides on pages has another artwork now. */
const isCorrection = (before: Job, now: Job): boolean =>
  before.artwork?.sha256 !== now.artwork?.sha256 && now.sides.some(({ page }) => page !== undefined);

/** Shows what a corrected artwork has changed. */
function compareWith(before: Job, { id, artwork }: Job): void {
  showScreen({ screen: 'compare', jobId: id });
  if (artwork) void compareArtworks({ job: before, after: artwork });
}

/** Opens the browser's own file dialog; none where nothing was chosen. */
function pickFiles(accept: string): Promise<readonly File[]> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.multiple = true;
    input.accept = accept;
    input.onchange = () => resolve([...(input.files ?? [])]);
    input.oncancel = () => resolve([]);
    input.click();
  });
}
