import { signal } from '@preact/signals';
import type { Problem } from '../../core/measure/result.ts';

/** Why the artwork on the bench cannot be drawn, or no sharper; undefined where all is well. */
export const pictureProblem = signal<Problem | undefined>(undefined);

/** Whether tiles of the artwork are still being drawn. */
export const isPictureAwaited = signal(false);
