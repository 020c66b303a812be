/** The artwork of a job, and the templates that its sides are traced from. */

import { z } from 'zod';
import { PAGE_BOXES } from '../measure/page-box.ts';
import { MAX_TEXT, name, positionMm } from './schema-parts.ts';

/** As many as a job has sides, and some to spare. */
export const MOST_ARTWORK_FILES = 40;

/** One of several PDFs that an artwork was put together from. */
const ArtworkFile = z.strictObject({
  fileName: name,
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** Its pages follow those of the file before it. */
  pages: z.number().int().positive(),
});
export type ArtworkFile = z.infer<typeof ArtworkFile>;

export const ArtworkReference = z.strictObject({
  fileName: name,
  /** SHA-256 of the file's bytes, lower-case hexadecimal. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/, 'use 64 lower-case hexadecimal digits'),
  sizeBytes: z.number().int().positive(),
  /** The page box whose top left corner is the origin of drawn space. */
  box: z.enum(PAGE_BOXES),
  /** Absent: it came as one file. */
  files: z.array(ArtworkFile).min(2).max(MOST_ARTWORK_FILES).optional(),
});
export type ArtworkReference = z.infer<typeof ArtworkReference>;

/** A place on a page of a template, drawn mm, and where it is on the side. */
const TemplatePoint = z.strictObject({
  drawnXMm: positionMm,
  drawnYMm: positionMm,
  xMm: positionMm,
  yMm: positionMm,
});

/** Vehicle outlines in a PDF, to trace lines and areas from; printed nowhere. */
export const SideTemplate = z.strictObject({
  /** Absent: the artwork of the job. */
  file: ArtworkReference.optional(),
  page: z.number().int().positive(),
  /** Absent: all that shows as the file opens. */
  layer: z.string().max(MAX_TEXT).optional(),
  /** Two places that line it up. Absent: it has the place of the artwork on the side. */
  points: z.array(TemplatePoint).length(2).optional(),
});
export type SideTemplate = z.infer<typeof SideTemplate>;
