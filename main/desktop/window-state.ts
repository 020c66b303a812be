/** Where the window was, so that it opens there again, and only where a display still shows it. */
import { readFileSync } from 'node:fs';
import type { Rectangle } from 'electron';
import { z } from 'zod';
import { writeFileAtomically } from '../files/atomic-write.ts';

const WindowState = z.strictObject({
  x: z.exactOptional(z.number().int()),
  y: z.exactOptional(z.number().int()),
  width: z.number().int().min(800).max(20_000),
  height: z.number().int().min(600).max(20_000),
  isMaximized: z.boolean(),
});
export type WindowState = z.infer<typeof WindowState>;

export const FIRST_WINDOW: WindowState = { width: 1280, height: 800, isMaximized: false };

/** The stored state, or the first one where there is none or it cannot be read. */
export function readWindowState(
  path: string,
  displays: readonly { readonly workArea: Rectangle }[],
): WindowState {
  let stored: WindowState;
  try {
    stored = WindowState.parse(JSON.parse(readFileSync(path, 'utf8')));
  } catch {
    return FIRST_WINDOW;
  }
  const { x, y, ...unplaced } = stored;
  if (x === undefined || y === undefined) return unplaced;
  const isShown = displays.some(
    ({ workArea }) =>
      x < workArea.x + workArea.width &&
      x + stored.width > workArea.x &&
      y >= workArea.y - 1 &&
      y < workArea.y + workArea.height,
  );
  return isShown ? stored : unplaced;
}

export async function writeWindowState(path: string, state: WindowState): Promise<void> {
  await writeFileAtomically(path, `${JSON.stringify(state)}\n`);
}
