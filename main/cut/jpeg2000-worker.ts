/** Runs on a separate thread; see jpeg2000.ts for the other end. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { parentPort, workerData } from 'node:worker_threads';
import { JpxImage } from 'pdfjs-dist/image_decoders/pdf.image_decoders.min.mjs';
import { present } from '../../core/measure/present.ts';
import type { Jpeg2000Reply, Jpeg2000Request } from './jpeg2000.ts';

const { data, channels } = workerData as Jpeg2000Request;
const folder = join(dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json')), 'wasm');

JpxImage.setOptions({
  useWasm: true,
  useWorkerFetch: false,
  wasmUrl: `${folder}/`,
  getHandler: () => ({
    sendWithPromise: async (_: string, { filename }: { filename: string }) =>
      new Uint8Array(readFileSync(join(folder, filename))),
  }),
});

let reply: Jpeg2000Reply;
try {
  const decoded = await JpxImage.instance.decode(data, { numComponents: channels });
  reply = { samples: Uint8Array.from(decoded) };
} catch (error) {
  reply = { message: error instanceof Error ? error.message : String(error) };
}
present(parentPort, 'The thread that started this one').postMessage(
  reply,
  'samples' in reply ? [reply.samples.buffer as ArrayBuffer] : [],
);
