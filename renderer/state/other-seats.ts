/** Keeps the display in step with changes saved by others: in another window, program or seat of the archive. */
import { signal } from '@preact/signals';
import { ask } from '../client/client.ts';
import { readJobList } from './job-list.ts';
import { applyNews, isHeldElsewhere, job } from './open-job.ts';
import { route } from './route.ts';
import { readShopItemsAgain } from './shop.ts';
import { readStock, stockRolls } from './stock.ts';

const LOOK_MS = 700;
/** A window that ended with its program releases its job without notice, so a waiting window checks now and then. */
const LOOKS_UNHEARD = 8;

let known: number | undefined;
let looks = 0;

/** Called once. */
export function followOthers(): void {
  setInterval(() => void look(), LOOK_MS);
}

let isLooking = false;

async function look(): Promise<void> {
  if (document.visibilityState === 'hidden' || isLooking) return;
  isLooking = true;
  try {
    const changes = await ask('archive:changes', {});
    if (!changes.ok) return;
    looks += 1;
    const isNew = known !== undefined && changes.value.count !== known;
    known = changes.value.count;
    if (isNew) await Promise.all([readShown(), readNews()]);
    else if (isHeldElsewhere.value && looks % LOOKS_UNHEARD === 0) await readNews();
  } finally {
    isLooking = false;
  }
}

async function readShown(): Promise<void> {
  if (route.value.screen === 'jobs') await readJobList();
  if (stockRolls.value !== undefined) await readStock();
  await readShopItemsAgain();
}

async function readNews(): Promise<void> {
  const id = job.value?.id;
  if (id === undefined) return;
  const news = await ask('job:news', { id });
  if (!news.ok || job.value?.id !== id) return;
  if (await applyNews(news.value, isAsking.value)) isAsking.value = false;
}

/** Whether the user who edits the job was asked to hand it over. */
export const isAsking = signal(false);

export async function askForJob(): Promise<void> {
  const id = job.value?.id;
  if (id === undefined) return;
  isAsking.value = true;
  await ask('job:ask', { id });
}
