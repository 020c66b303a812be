import { z } from 'zod';

/** A time on the wall of the shop, without a zone, see local-time.ts. */
export const LocalDateTime = z.iso
  .datetime({ local: true, offset: false, precision: -1 })
  .refine((text) => !text.endsWith('Z'), 'write the time as on the wall: 2026-03-17T14:30, without a zone');
