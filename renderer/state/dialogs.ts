import { signal } from '@preact/signals';

export const isKeysSheetOpen = signal(false);

export function keysSheetShow(): void {
  isKeysSheetOpen.value = true;
}
