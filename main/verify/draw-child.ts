/**
 * What the process runs that draws for the verification; its pictures go into the folder that it is started with. The drawing has a thread, so that this one goes on telling how
 * much work was done, whatever a page asks of a renderer.
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
