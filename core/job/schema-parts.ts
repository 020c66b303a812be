/** Basic types of the job document: texts, ids, lengths, rectangles. */

import { z } from 'zod';

export const MAX_LENGTH_MM = 100_000;

export const MAX_TEXT = 10_000;

export const MOST_INSTALL_DAYS = 30;

export const text = z.string().max(MAX_TEXT);

export const name = z.string().min(1).max(MAX_TEXT);

export const id = z
  .string()
  .regex(
    /^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$/,
    'use letters, digits, - and _, 64 at most, starting with a letter or digit',
  );

export const lengthMm = z.number().nonnegative().max(MAX_LENGTH_MM);

export const positiveMm = z.number().positive().max(MAX_LENGTH_MM);

export const positionMm = z.number().min(-MAX_LENGTH_MM).max(MAX_LENGTH_MM);

export const isoDate = z.iso.date();

export const rectangle = z.strictObject({
  xMm: positionMm,
  yMm: positionMm,
  widthMm: positiveMm,
  heightMm: positiveMm,
});

export const edgeLengths = z.strictObject({
  top: lengthMm,
  right: lengthMm,
  bottom: lengthMm,
  left: lengthMm,
});

/** Day of the installation. */
export const installDay = z.number().int().min(1).max(MOST_INSTALL_DAYS);

/** A rectangle as stored, with units in the field names. */
export type StoredRect = z.infer<typeof rectangle>;
