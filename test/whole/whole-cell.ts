/** The process in which one artwork goes through the whole of the main job; see fuzz/locked-cell.ts for the other end. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { CellReply } from '../fuzz/cell.ts';
import { type WholeOutcome, wholeOutcome } from './whole-outcome.ts';

process.on('message', async (bytes: Uint8Array) => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-whole-'));
  const path = join(folder, 'artwork.pdf');
  writeFileSync(path, bytes);
  let reply: CellReply<WholeOutcome>;
  try {
    reply = { outcome: await wholeOutcome(path) };
  } catch (error) {
    reply = { bug: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  } finally {
    rmSync(folder, { recursive: true });
  }
  process.send!(reply);
});
process.send!('ready');
