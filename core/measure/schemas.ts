/**
 * Schemas for what crosses from main to the screens: there a length is a plain number and a rectangle has no space, so
 * these give both back their types. What was derived is bounded by what it was derived from, and by nothing here.
 */
import { z } from 'zod';
import type { Rect, Space } from './rect.ts';
import type { Mm } from './units.ts';

export const mmSchema: z.ZodType<Mm> = z.number();

const rect = z.strictObject({ x: mmSchema, y: mmSchema, width: mmSchema, height: mmSchema });

export const rectSchema = <S extends Space>(): z.ZodType<Rect<S>> => rect;

/** An array that is only read. */
export const listSchema = <T extends z.ZodType>(item: T): z.ZodType<readonly z.infer<T>[]> => z.array(item);
