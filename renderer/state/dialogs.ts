import { signal } from '@preact/signals';

export const isKeysSheetOpen = signal(false);
/** Asks for a new job, on the screen of all jobs. */
export const isNewJobOpen = signal(false);

export function openNewJob(): void {
  isNewJobOpen.value = true;
}

export function closeNewJob(): void {
  isNewJobOpen.value = false;
}

export function showKeysSheet(): void {
  isKeysSheetOpen.value = true;
}
