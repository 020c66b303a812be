/** Documents of tasks: in the task's row, or, if large, in the exchange vault. */
import { randomUUID } from 'node:crypto';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { documentFromValue, valueFromDocument } from './task-document.ts';
import type { TaskQueue } from './task-queue.ts';

export type Cargo = { readonly text: string } | { readonly sha256: string };

const MOST_IN_ROW = 200_000;
/** A document that was not fetched within this time is removed. */
const FORGOTTEN_MS = 2 * 24 * 3600 * 1000;

export async function packCargo(value: unknown, { exchange }: TaskQueue): Promise<Cargo> {
  // The id makes the document unique, even where another task has the same content, because it is dropped when this
  // task has ended.
  const text = documentFromValue({ id: randomUUID(), value });
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
  const text = 'text' in cargo ? cargo.text : await readFile(await exchange.path(cargo.sha256), 'utf8');
  return (valueFromDocument(text) as { readonly value: unknown }).value;
}

/** Drops a fetched result, or the request of an ended task. */
export async function dropCargo(cargo: Cargo, { exchange }: TaskQueue): Promise<void> {
  // If it cannot be removed now, it is swept later.
  if ('sha256' in cargo) await exchange.remove(cargo.sha256, Number.POSITIVE_INFINITY).catch(() => undefined);
}

export async function sweepCargo({ exchange }: TaskQueue, nowMs = Date.now()): Promise<void> {
  const since = nowMs - FORGOTTEN_MS;
  for (const { sha256, heldMs } of await exchange.list())
    if (heldMs < since) await exchange.remove(sha256, since);
}
