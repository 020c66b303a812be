import { z } from 'zod';

/** How a shop writes a date: `Nov 20, 2026`, `20 Nov 2026` or `2026-11-20`. */
export const DateOrder = z.enum(['month-first', 'day-first', 'year-first']);
export type DateOrder = z.infer<typeof DateOrder>;
