/**
 * How photos of sides are seen on the bench: over or under the artwork. The upper one is partly transparent, and
 * reaches from the left edge to a line.
 */
import { signal } from '@preact/signals';

export interface PhotoView {
  readonly isShown: boolean;
  readonly lies: 'over' | 'under';
  /** Opacity of the upper one, 0 to 1. */
  readonly opacity: number;
  /** Share of the side's length, from the left edge, over which it lies. */
  readonly swipe: number;
}

/** Hidden until one is added or shown by a command, because it would change how the artwork’s colors look. */
export const photoView = signal<PhotoView>({ isShown: false, lies: 'over', opacity: 0.6, swipe: 1 });

export function changePhotoView(change: Partial<PhotoView>): void {
  photoView.value = { ...photoView.value, ...change };
}
