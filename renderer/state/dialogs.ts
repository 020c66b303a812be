import { signal } from '@preact/signals';

export const isKeysSheetOpen = signal(false);
