/** Schemas of lengths and rectangles, for messages: a length on its way is a plain number. */
import { z } from 'zod';
import type { Rect, Space } from './rect.ts';

const rect = z.strictObject({ x: z.number(), y: z.number(), width: z.number(), height: z.number() });

export const rectSchema = <S extends Space>(): z.ZodType<Rect<S>> => rect;
