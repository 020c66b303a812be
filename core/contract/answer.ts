import { z } from 'zod';

/**
 * How an answer of main crosses to the screens: with its reply, or with the reason why there is none. A problem is known
 * by its code on the other side, because classes do not survive the way.
 */
export const Answer = z.discriminatedUnion('ok', [
  z.object({ ok: z.literal(true), value: z.unknown() }),
  z.object({
    ok: z.literal(false),
    problem: z.object({ code: z.string(), message: z.string(), remedy: z.string() }),
  }),
]);
