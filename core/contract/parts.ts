/** What several verbs speak of. */
import { z } from 'zod';

/** A verb: what is asked and what is replied. */
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
  /** What the person sees: the file's or folder's name, never used as a path. */
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
  /** What is being done, for people. */
  what: z.string(),
  done: z.number().nonnegative(),
  total: z.number().positive(),
});
export type Progress = z.infer<typeof Progress>;

const count = z.number().int().nonnegative();

/** What is deleted for good, or would be. */
export const Deletion = z.strictObject({
  jobs: count,
  outputs: count,
  /** In the vault, with the room that they take. */
  files: count,
  bytes: z.number().nonnegative(),
});
export type Deletion = z.infer<typeof Deletion>;
