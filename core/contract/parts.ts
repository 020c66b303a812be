/** Types shared by several verbs. */
import { z } from 'zod';

/** A verb: its request and reply. */
export interface Verb {
  readonly request: z.ZodType;
  readonly reply: z.ZodType;
}

export const MAX_PX = 4096;

export const id = z.string().min(1).max(200);
/** A token for a file or folder that the user selected. */
export const token = z.string().min(16).max(200);
/** In mm of the space that its field names: drawn where none is named. */
export const rect = z.strictObject({
  xMm: z.number(),
  yMm: z.number(),
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
});

export const Chosen = z.strictObject({
  token,
  /** Name of the file or folder for display, never used as a path. */
  name: z.string(),
});
export type Chosen = z.infer<typeof Chosen>;

/** A picture as PNG bytes. */
export const Picture = z.strictObject({
  png: z.instanceof(Uint8Array<ArrayBufferLike>),
  widthPx: z.number().int().positive(),
  heightPx: z.number().int().positive(),
});
export type Picture = z.infer<typeof Picture>;

export const Progress = z.strictObject({
  /** Description of the work for people. */
  what: z.string(),
  done: z.number().nonnegative(),
  total: z.number().positive(),
});
export type Progress = z.infer<typeof Progress>;

const count = z.number().int().nonnegative();

/** What is deleted permanently, or would be. */
export const Deletion = z.strictObject({
  jobs: count,
  outputs: count,
  /** Files in the vault, and their size. */
  files: count,
  bytes: z.number().nonnegative(),
});
export type Deletion = z.infer<typeof Deletion>;
