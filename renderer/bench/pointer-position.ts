import { signal } from '@preact/signals';
import type { Point } from '../../core/measure/rect.ts';

/** Where on the bench the pointer is; undefined while it is elsewhere. */
export const pointerPosition = signal<Point | undefined>(undefined);
