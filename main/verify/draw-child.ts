/**
 * What the process runs that draws for the verification. The drawing has a thread, so that this one goes on telling how
 * much work was done, whatever a page asks of a renderer.
 */
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import type { DrawMessage, DrawReply } from './draw-message.ts';

const BEAT_MS = 1000;

const thread = new Worker(moduleBeside(import.meta.url, './draw-worker'));
const tell = (reply: DrawReply) => void process.send!(reply, () => undefined);
process.on('message', (message: DrawMessage) => thread.postMessage(message));
thread.on('message', tell);
thread.on('error', (error) => {
  console.error(error.message);
  process.exit(1);
});
thread.on('exit', (code) => process.exit(code));
process.on('disconnect', () => process.exit());
process.on('SIGINT', () => undefined);
setInterval(() => {
  const { user, system } = process.cpuUsage();
  tell({ cpuSeconds: (user + system) / 1e6, residentBytes: process.memoryUsage.rss() });
}, BEAT_MS);
