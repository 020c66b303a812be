/** Whether the canvas has the focus: keys without Ctrl are commands only then. */
import { signal } from '@preact/signals';

export const isCanvasFocused = signal(false);
let canvas: HTMLElement | undefined;

export function followCanvasFocus(area: HTMLElement): () => void {
  const listening = new AbortController();
  canvas = area;
  isCanvasFocused.value = document.activeElement === area;
  area.addEventListener('focus', () => (isCanvasFocused.value = true), { signal: listening.signal });
  area.addEventListener('blur', () => (isCanvasFocused.value = false), { signal: listening.signal });
  return () => {
    listening.abort();
    canvas = undefined;
    isCanvasFocused.value = false;
  };
}

/** After a tool is taken from the toolbar the keys belong to the canvas. */
export function focusCanvas(): void {
  canvas?.focus({ preventScroll: true });
}
