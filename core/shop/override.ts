import { z } from 'zod';

/** Rules of pairing film and laminate, see core/production/pairing.ts. */
export const PAIRING_CODES = [
  'pair-no-laminate',
  'pair-not-clear',
  'pair-calendered-on-cast',
  'pair-cast-on-calendered',
  'pair-monomeric-on-polymeric',
  'pair-difficult-ground',
  'pair-stretch',
  'pair-laminate-narrow',
  'pair-service-life',
  'pair-finish',
  'pair-adhesive',
] as const;
export type PairingCode = (typeof PAIRING_CODES)[number];

/** The word of an operator, by the data sheet, that a rule does not hold here, and why. */
export const Override = z.strictObject({
  code: z.enum(PAIRING_CODES),
  by: z.string().min(1).max(200),
  note: z.string().trim().min(1).max(2000),
});
export type Override = z.infer<typeof Override>;
