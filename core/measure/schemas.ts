/**
 * Schemas for data from main to the screens. In transit a length is a plain number and a rectangle has no space; these
 * schemas restore both types. They set no limits, because derived values are limited by their sources.
 */
import { z } from 'zod';
import type { Rect, Space } from './rect.ts';
import type { Mm } from './units.ts';

export const mmSchema: z.ZodType<Mm> = z.number();

const rect = z.strictObject({ x: mmSchema, y: mmSchema, width: mmSchema, height: mmSchema });

export const rectSchema = <S extends Space>(): z.ZodType<Rect<S>> => rect;

/** A read-only array. */
export const listSchema = <T extends z.ZodType>(item: T): z.ZodType<readonly z.infer<T>[]> => z.array(item);
