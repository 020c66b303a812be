import { z } from 'zod';

/** The boxes of a PDF page, ISO 32000-1, 14.11.2. */
export const PageBox = z.enum(['media', 'crop', 'bleed', 'trim', 'art']);
export type PageBox = z.infer<typeof PageBox>;
