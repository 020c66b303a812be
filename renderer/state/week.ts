/** The shop's week as last read, its moves, and what is shown. */
import { signal } from '@preact/signals';
import type { WeekReply } from '../../core/contract/verbs-week.ts';
import type { WeekBar, WeekMove } from '../../core/production/week.ts';
import { dateOfMinutes, MINUTES_PER_DAY, minutesFromLocal, weekdayOf } from '../../core/shop/local-time.ts';
import { ask } from '../client/client.ts';
import { showProblem } from './notices.ts';
import { shopProfile } from './shop.ts';
import { workSlot } from './work.ts';

export const weekRead = signal<WeekReply | undefined>(undefined);
export const weekWork = workSlot();
/** First day that is shown; undefined: Monday of this week. */
export const weekFrom = signal<string | undefined>(undefined);
export const weekDays = signal<7 | 14 | 28>(7);

interface Made {
  readonly move: WeekMove;
  readonly before: WeekMove;
}
const made = signal<readonly Made[]>([]);
const undone = signal<readonly Made[]>([]);
export const canUndoMove = () => made.value.length > 0;
export const canRedoMove = () => undone.value.length > 0;

/** 2026-11-24T07:30, by the clock of this machine. */
export function localNow(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

export function mondayOf(date: string): string {
  const at = minutesFromLocal(`${date}T00:00`);
  return dateOfMinutes(at - weekdayOf(at) * MINUTES_PER_DAY);
}

export async function readWeek(): Promise<void> {
  const { dateOrder } = shopProfile.value;
  const read = await weekWork.run('week:read', { now: localNow(), dateOrder }, 'Working out the clocks');
  if (read.ok) weekRead.value = read.value;
  else showProblem(read.problem);
}

/** The present place of a bar, as a move that restores it. */
export const standing = ({ jobId, step, filmId, planned, isBayFixed }: WeekBar, bay?: number): WeekMove => ({
  ...{ jobId, step, start: planned ?? null },
  ...(filmId !== undefined && { filmId }),
  ...(step === 'install' && { bay: isBayFixed ? (bay ?? null) : null }),
});

/** Saves a move in its job and reads the week again; `before` undoes it. */
export async function makeMove(move: WeekMove, before: WeekMove): Promise<boolean> {
  if (!(await moved(move))) return false;
  made.value = [...made.value, { move, before }];
  undone.value = [];
  return true;
}

async function moved(move: WeekMove): Promise<boolean> {
  const answer = await ask('week:move', move);
  if (!answer.ok) showProblem(answer.problem);
  else await readWeek();
  return answer.ok;
}

export async function moveUndone(): Promise<void> {
  const last = made.value.at(-1);
  if (!last || !(await moved(last.before))) return;
  made.value = made.value.slice(0, -1);
  undone.value = [...undone.value, last];
}

export async function moveRedone(): Promise<void> {
  const last = undone.value.at(-1);
  if (!last || !(await moved(last.move))) return;
  undone.value = undone.value.slice(0, -1);
  made.value = [...made.value, last];
}
