/** Documents of tasks: in the row of the task, or beside the vault where one is large. */
import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { documentFromValue, valueFromDocument } from './task-document.ts';
import type { TaskQueue } from './task-queue.ts';

export type Cargo = { readonly text: string } | { readonly sha256: string };

const MOST_IN_ROW = 200_000;
/** It was not fetched for too long. */
const FORGOTTEN_MS = 2 * 24 * 3600 * 1000;

export async function packCargo(value: unknown, { exchange }: TaskQueue): Promise<Cargo> {
  const text = documentFromValue(value);
  if (text.length <= MOST_IN_ROW) return { text };
  const scratch = makeScratchFolder('cargo');
  try {
    const path = join(scratch, 'document');
    await writeFile(path, text);
    return { sha256: (await exchange.add(path)).sha256 };
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

export async function unpackCargo(cargo: Cargo, { exchange }: TaskQueue): Promise<unknown> {
  if ('text' in cargo) return valueFromDocument(cargo.text);
  return valueFromDocument(await readFile(await exchange.path(cargo.sha256), 'utf8'));
}

/** A result that was fetched is not needed any more. */
export async function dropCargo(cargo: Cargo, { exchange }: TaskQueue): Promise<void> {
  if ('sha256' in cargo) await exchange.remove(cargo.sha256, Number.POSITIVE_INFINITY);
}

export async function sweepCargo({ exchange }: TaskQueue, nowMs = Date.now()): Promise<void> {
  const since = nowMs - FORGOTTEN_MS;
  for (const { sha256, heldMs } of await exchange.list())
    if (heldMs < since) await exchange.remove(sha256, since);
}
