/**
 * The code of the verification's drawing process; its pictures go into the folder passed at its start. Drawing has a
 * separate thread, so that this one can keep reporting CPU use, whatever a page makes the renderer do.
 */
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { itemAt } from '../../core/measure/present.ts';
import { moduleBeside } from '../files/module-beside.ts';
import type { DrawChildReply, DrawMessage, DrawReply } from './draw-message.ts';

const BEAT_MS = 1000;

const thread = new Worker(moduleBeside(import.meta.url, './draw-worker'));
const folder = itemAt(process.argv, 2);
const tell = (reply: DrawChildReply) => void process.send?.(reply, () => undefined);
process.on('message', (message: DrawMessage) => thread.postMessage(message));
thread.on('message', (reply: DrawReply) => tell('rgba' in reply ? inFile(reply) : reply));
thread.on('error', (error) => {
  console.error(error.message);
  process.exit(1);
});
thread.on('exit', (code) => process.exit(code));
process.on('disconnect', () => {
  rmSync(folder, { recursive: true, force: true });
  process.exit();
});
process.on('SIGINT', () => undefined);
setInterval(() => {
  const { user, system } = process.cpuUsage();
  tell({ cpuSeconds: (user + system) / 1e6, residentBytes: process.memoryUsage.rss() });
}, BEAT_MS);

function inFile({ id, rgba }: { readonly id: number; readonly rgba: Uint8Array }): DrawChildReply {
  const rgbaPath = join(folder, `${id}.rgba`);
  try {
    writeFileSync(rgbaPath, rgba);
    return { id, rgbaPath };
  } catch (error) {
    return { id, trouble: (error as Error).message };
  }
}
