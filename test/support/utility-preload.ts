/**
 * Loaded first in a process that replaces one of Electron's: shows its versions on all threads, and its type on the
 * first.
 */
import { EventEmitter } from 'node:events';
import { isMainThread } from 'node:worker_threads';

Object.defineProperty(process, 'versions', { value: { ...process.versions, electron: '45.4.1' } });
if (isMainThread) {
  const parentPort = new EventEmitter();
  // As Electron's, it keeps what comes before anybody listens.
  parentPort.once('newListener', () => {
    process.on('message', (data) => void parentPort.emit('message', { data }));
  });
  Object.assign(parentPort, { postMessage: (message: object) => process.send!(message) });
  Object.assign(process, { type: 'utility', parentPort });
}
