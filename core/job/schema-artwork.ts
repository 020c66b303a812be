/** The artwork of a job, and the templates that its sides are traced from. */

import { z } from 'zod';
import { PAGE_BOXES } from '../measure/page-box.ts';
import { MAX_TEXT, name, positionMm } from './schema-parts.ts';

/** More than enough for the sides of a job. */
export const MOST_ARTWORK_FILES = 40;

/** One of several PDFs that make up an artwork. */
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
  /** Absent: a single file. */
  files: z.array(ArtworkFile).min(2).max(MOST_ARTWORK_FILES).optional(),
});
export type ArtworkReference = z.infer<typeof ArtworkReference>;

/** A place on a page of a template, in drawn mm, and the same place on the side. */
const TemplatePoint = z.strictObject({
  drawnXMm: positionMm,
  drawnYMm: positionMm,
  xMm: positionMm,
  yMm: positionMm,
});

/** Vehicle outlines in a PDF for tracing lines and areas; never printed. */
export const SideTemplate = z.strictObject({
  /** Absent: the artwork of the job. */
  file: ArtworkReference.optional(),
  page: z.number().int().positive(),
  /** Absent: all layers that show as the file opens. */
  layer: z.string().max(MAX_TEXT).optional(),
  /** Two places that align it. Absent: it has the place of the artwork on the side. */
  points: z.array(TemplatePoint).length(2).optional(),
});
export type SideTemplate = z.infer<typeof SideTemplate>;
