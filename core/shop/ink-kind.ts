import { z } from 'zod';

/** Families of inks that dry alike. */
export const INK_KINDS = ['solvent', 'eco-solvent', 'uv-cured', 'water-based-resin'] as const;
export const InkKind = z.enum(INK_KINDS);
export type InkKind = z.infer<typeof InkKind>;
