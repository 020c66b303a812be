/** The week of the shop: all open jobs on one time line, and their starts. */
import { z } from 'zod';
import { Week, WeekMove } from '../production/week.ts';
import { DateOrder } from '../shop/date-order.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { id, type Verb } from './parts.ts';

export const WeekRead = z.strictObject({
  /** By the local clock of the shop. */
  now: LocalDateTime,
  dateOrder: DateOrder,
});
export type WeekRead = z.infer<typeof WeekRead>;

export const WeekReply = z.strictObject({
  week: Week,
  /** Open jobs that are left out, each with the reason. */
  leftOut: z.array(z.strictObject({ jobId: id, number: z.string(), why: z.string() })),
});
export type WeekReply = z.infer<typeof WeekReply>;

export const WEEK_VERBS = {
  'week:read': { request: WeekRead, reply: WeekReply },
  /** Rejected while another window edits the job. */
  'week:move': { request: WeekMove, reply: z.strictObject({}) },
} as const satisfies Record<string, Verb>;
