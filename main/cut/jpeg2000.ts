/** Decodes JPEG 2000 with OpenJPEG as WebAssembly, which is part of pdf.js, on a thread that ends after its work. */
import { Worker } from 'node:worker_threads';
import { ImageFault } from '../../core/pdf/images/image-problem.ts';
import { moduleBeside } from '../files/module-beside.ts';

export interface Jpeg2000Request {
  readonly data: Uint8Array;
  readonly channels: number;
}

export type Jpeg2000Reply = { readonly samples: Uint8Array } | { readonly message: string };

/** All samples, row by row, pixel by pixel. Rejects with an `ImageFault` where the data cannot be decoded. */
export function decodeJpeg2000(data: Uint8Array, channels: number): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    const request: Jpeg2000Request = { data, channels };
    const worker = new Worker(moduleBeside(import.meta.url, './jpeg2000-worker'), { workerData: request });
    worker.once('message', (reply: Jpeg2000Reply) => {
      if ('samples' in reply) resolve(reply.samples);
      else reject(new ImageFault('image-corrupt', `The JPEG 2000 data cannot be decoded: ${reply.message}`));
    });
    worker.once('error', reject);
    worker.once('exit', () => reject(new Error('The thread that decodes JPEG 2000 ended.')));
  });
}
