/**
 * The nesting of several jobs on the screen. It is kept in the archive from the first change on, or once the user saves
 * it; until then it is only shown.
 */
import { batch, computed, signal } from '@preact/signals';
import type { ShopItem } from '../../core/contract/shop-items.ts';
import type { FilmGroup, FilmsOfJobs } from '../../core/production/shared-film.ts';
import {
  isRecordOf,
  type SharedRollRecord,
  sharedRollChanges,
  sharedRollRecord,
} from '../../core/production/shared-roll-record.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import type { RollPlacement } from '../../core/shop/rolls.ts';
import { ask, tell } from '../client/client.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { saveNow } from '../state/open-job.ts';
import { readShopItems, shopItems, tryKeeping } from '../state/shop.ts';
import { workSlot } from '../state/work.ts';
import { type RollDesk, rollDesk } from './roll-desk.ts';

/** A panel pushed along by keys is planned around once. */
const PLAN_PAUSE_MS = 250;

interface Films {
  readonly jobIds: readonly string[];
  readonly groups: readonly FilmGroup[];
  readonly apart: readonly string[];
}

/** What the chosen jobs print on; undefined until that is known. */
export const films = signal<Films | undefined>(undefined);
/** The jobs whose rolls are shown, all on one film; the first one's rolls and rules hold. */
export const sharedJobIds = signal<readonly string[]>([]);
/** Which of their films lies on these rolls. */
export const sharedFilms = signal<FilmsOfJobs>({});
export const shared = signal<SharedRolls | undefined>(undefined);
export const sharedWork = workSlot();
export const isLaying = signal(false);
/** What runs takes long enough to be shown with its progress. */
export const isSlow = signal(false);
const SLOW_MS = 500;

const locked = signal<readonly RollPlacement[]>([]);
interface Step {
  readonly locked: readonly RollPlacement[];
  readonly gesture: string | undefined;
}
const past = signal<readonly Step[]>([]);
const future = signal<readonly Step[]>([]);
const MOST_STEPS = 200;

export const sharedDesk: RollDesk = rollDesk({
  laid: shared,
  panels: computed(() => shared.value?.items ?? []),
  locked,
  isReadOnly: signal(false),
  setLocked(_label, next, gesture) {
    const last = past.value.at(-1);
    const isSameGesture = gesture !== undefined && last?.gesture === gesture && future.value.length === 0;
    batch(() => {
      if (!isSameGesture) past.value = [...past.value, { locked: locked.value, gesture }].slice(-MOST_STEPS);
      future.value = [];
      locked.value = next;
    });
    renestSoon();
    return undefined;
  },
});

/** The plan as it was kept for these jobs; undefined where none was. */
export const record = computed<SharedRollRecord | undefined>(() =>
  shopItems.value.sharedRolls.find((kept) => isRecordOf(kept, sharedFilms.value)),
);
/** What has changed since the plan was kept. */
export const changes = computed<readonly string[]>(() =>
  record.value && shared.value ? sharedRollChanges(record.value, shared.value) : [],
);
/** Kept for all the chosen jobs while they printed on one film, which they do no more. */
export const hasFallenApart = computed(() => {
  const chosen = films.value;
  return (
    chosen !== undefined &&
    shopItems.value.sharedRolls.some(
      (kept) =>
        kept.jobs.length === chosen.jobIds.length &&
        kept.jobs.every(({ id }) => chosen.jobIds.includes(id)) &&
        !chosen.groups.some((group) => isRecordOf(kept, group.films)),
    )
  );
});

let latest = 0;
/** Runs while a change waits to be planned around and kept. */
let timer: ReturnType<typeof setTimeout> | undefined;
let recordId = '';
/** How often the plan had been kept when it was read here. */
let baseRevision = 0;
/** Another window has saved this nesting since. Both are kept until the user selects one. */
export const isOvertaken = signal(false);

/** Looks up what the jobs print on and shows the film of a kept nesting, or the first that several of them share. */
export async function openSharedRolls(jobIds: readonly string[], nesting?: string): Promise<void> {
  const mine = ++latest;
  await keepChangedPlan();
  cancelRenest();
  sharedWork.cancel();
  if (mine !== latest) return;
  batch(() => {
    films.value = undefined;
    shared.value = undefined;
    sharedJobIds.value = [];
  });
  if (jobIds.length === 0) return;
  // A job that was being edited a moment ago counts as it is now.
  await saveNow();
  const [found, items] = await Promise.all([
    ask('rolls:films', { jobIds: [...jobIds] }),
    ask('shop:list', {}),
  ]);
  if (mine !== latest) return;
  if (items.ok) shopItems.value = items.value;
  if (!found.ok) return showProblem(found.problem);
  films.value = { jobIds, ...found.value };
  const { groups } = found.value;
  const kept = shopItems.value.sharedRolls.find(({ id }) => id === nesting);
  const group =
    (kept && groups.find(({ films }) => isRecordOf(kept, films))) ??
    groups.find((each) => each.jobIds.length > 1);
  if (group) await showFilm(group);
}

/** Shows the rolls of jobs on one film: as they were kept, or nested now. */
export async function showFilm({ jobIds, films }: Pick<FilmGroup, 'jobIds' | 'films'>): Promise<void> {
  await keepChangedPlan();
  cancelRenest();
  const kept = shopItems.value.sharedRolls.find((each) => isRecordOf(each, films));
  batch(() => {
    sharedFilms.value = films;
    shared.value = undefined;
    readAs(kept);
    // The first job of a kept nesting gives the rolls, in whatever order the jobs were selected now.
    sharedJobIds.value = kept?.jobs.map(({ id }) => id) ?? jobIds;
    locked.value = kept?.locked ?? [];
    past.value = [];
    future.value = [];
    sharedDesk.chosenPanelId.value = undefined;
  });
  await nest(kept?.placements);
}

function readAs(kept: SharedRollRecord | undefined): void {
  recordId = kept?.id ?? crypto.randomUUID();
  baseRevision = kept ? (shopItems.value.sharedRollRevisions[kept.id] ?? 0) : 0;
  isOvertaken.value = false;
}

/** Asks for the nesting. Returns whether this was still the latest request when the answer came. */
async function nest(places?: readonly RollPlacement[]): Promise<boolean> {
  const mine = ++latest;
  sharedWork.cancel();
  isLaying.value = true;
  const request = {
    jobIds: [...sharedJobIds.value],
    films: { ...sharedFilms.value },
    locked: [...locked.value],
    ...(places && { places: [...places] }),
  };
  const answer = await runTimed(sharedWork.run('rolls:share', request, 'Nesting panels on rolls'));
  if (mine !== latest) return false;
  isLaying.value = false;
  if (answer.ok) shared.value = answer.value;
  else showProblem(answer.problem);
  return true;
}

async function runTimed<T>(work: Promise<T>): Promise<T> {
  const slow = setTimeout(() => {
    isSlow.value = true;
  }, SLOW_MS);
  try {
    return await work;
  } finally {
    clearTimeout(slow);
    isSlow.value = false;
  }
}

function cancelRenest(): void {
  clearTimeout(timer);
  timer = undefined;
}

function renestSoon(): void {
  cancelRenest();
  timer = setTimeout(() => void renest(), PLAN_PAUSE_MS);
  isLaying.value = true;
}

/** Nests again all that is not locked, and saves the result. */
export async function renest(): Promise<void> {
  cancelRenest();
  if (await nest()) await keepPlan();
}

/** Keeps the plan in the archive, in place of an earlier one of the same jobs. */
export async function keepPlan(): Promise<void> {
  const plan = shared.value;
  if (!plan) return;
  const problem = await tryKeeping(keptItem(plan), baseRevision);
  if (!problem) {
    readAs(record.value);
  } else if (problem.code === 'plan-changed-elsewhere') {
    isOvertaken.value = true;
    await readShopItems();
  } else {
    showProblem(problem);
  }
}

/** Shows the plan as the other window has kept it. */
export async function openKeptPlan(): Promise<void> {
  cancelRenest();
  await readShopItems();
  await showFilm({ jobIds: [...sharedJobIds.value], films: sharedFilms.value });
}

/** Keeps this plan in the place of the other window's. */
export async function keepThisPlan(): Promise<void> {
  await readShopItems();
  readAs(record.value);
  await keepPlan();
}

/** Keeps a plan that was changed a moment ago. */
export async function keepChangedPlan(): Promise<void> {
  if (timer !== undefined) await keepPlan();
}

const keptItem = (plan: SharedRolls): ShopItem => ({
  kind: 'shared-rolls',
  value: sharedRollRecord(recordId, plan, {
    placements: [...sharedDesk.placements.value],
    locked: [...locked.value],
  }),
});

/** Keeps what was changed a moment ago when the page goes; called once. */
export function followSharedRolls(): void {
  window.addEventListener('pagehide', () => {
    if (timer !== undefined && shared.value)
      tell('shop:keep', { item: keptItem(shared.value), baseRevision });
  });
}

/** The rolls and rules of another job hold from now on. */
export async function takeRollsFrom(jobId: string): Promise<void> {
  sharedJobIds.value = [jobId, ...sharedJobIds.value.filter((id) => id !== jobId)];
  await renest();
}

const stepTaken = (from: typeof past, onto: typeof past) => () => {
  const step = from.value.at(-1);
  if (!step) return;
  batch(() => {
    from.value = from.value.slice(0, -1);
    onto.value = [...onto.value, { locked: locked.value, gesture: undefined }];
    locked.value = step.locked;
  });
  renestSoon();
};
export const canUndo = computed(() => past.value.length > 0);
export const canRedo = computed(() => future.value.length > 0);
export const stepUndone = stepTaken(past, future);
export const stepRedone = stepTaken(future, past);

/** Writes the sheet of the present nesting into a folder that the user selects. */
export async function writeSheet(): Promise<void> {
  const folder = await ask('folder:choose', { title: 'Folder for the nesting sheet' });
  if (!folder.ok) return showProblem(folder.problem);
  if (!folder.value) return;
  const request = {
    jobIds: [...sharedJobIds.value],
    films: { ...sharedFilms.value },
    locked: [...locked.value],
    places: [...sharedDesk.placements.value],
    folder: folder.value.token,
  };
  const written = await runTimed(sharedWork.run('rolls:write', request, 'Drawing the nesting sheet'));
  if (written.ok) showDone(`The nesting sheet is in ${folder.value.name} as ${written.value.fileName}.`);
  else showProblem(written.problem);
}
