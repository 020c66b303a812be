import { z } from 'zod';

/**
 * A reply from main to the screens: the result, or the reason why there is none. The screens identify a problem by its
 * code, because classes do not survive the transfer.
 */
export const Answer = z.discriminatedUnion('ok', [
  z.object({ ok: z.literal(true), value: z.unknown() }),
  z.object({
    ok: z.literal(false),
    problem: z.object({ code: z.string(), message: z.string(), remedy: z.string() }),
  }),
]);
