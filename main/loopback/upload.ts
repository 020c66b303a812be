/**
 * A browser hands over a file's bytes, not its path. They are streamed to a temporary file, which then counts
 * as chosen by that browser tab.
 */
import { randomBytes } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, rm } from 'node:fs/promises';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { join } from 'node:path';
import { Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { wireText } from '../../core/contract/wire.ts';
import type { ChosenFiles } from '../contract/chosen-files.ts';
import { fileProblem } from '../files/file-problem.ts';
import { refuse } from './refusal.ts';

const MAX_NAME = 255;

export interface UploadLimits {
  readonly fileBytes: number;
  readonly allBytes: number;
  /** Of one tab; an artwork is in the archive once it is imported. */
  readonly filesOfTab: number;
}

/** Artwork of 2 GB is what large shops have; twice that is a mistake or an attack. */
const LIMITS: UploadLimits = { fileBytes: 4 * 2 ** 30, allBytes: 8 * 2 ** 30, filesOfTab: 3 };

interface Upload {
  readonly path: string;
  readonly clientId: string;
  bytes: number;
  isUnderWay: boolean;
}

/** What tabs have handed over, oldest first. */
export class Uploads {
  readonly limits: UploadLimits;
  readonly #folder: string;
  readonly #uploads = new Set<Upload>();

  constructor(folder: string, limits = LIMITS) {
    this.#folder = folder;
    this.limits = limits;
  }

  /** Room for one more file of a tab, whose oldest gives way; undefined where all of them are still coming in. */
  async begin(clientId: string): Promise<Upload | undefined> {
    const own = [...this.#uploads].filter((upload) => upload.clientId === clientId);
    const oldest = own.find(({ isUnderWay }) => !isUnderWay);
    if (own.length >= this.limits.filesOfTab) {
      if (!oldest) return undefined;
      await this.remove(oldest);
    }
    const path = join(this.#folder, randomBytes(16).toString('hex'));
    const upload = { path, clientId, bytes: 0, isUnderWay: true };
    this.#uploads.add(upload);
    await mkdir(this.#folder, { recursive: true });
    return upload;
  }

  /** False where there is no room for that many more bytes. */
  grow(upload: Upload, bytes: number): boolean {
    upload.bytes += bytes;
    const all = [...this.#uploads].reduce((sum, each) => sum + each.bytes, 0);
    return upload.bytes <= this.limits.fileBytes && all <= this.limits.allBytes;
  }

  async remove(upload: Upload): Promise<void> {
    this.#uploads.delete(upload);
    await rm(upload.path, { force: true });
  }

  /** The tab has gone. What is still coming in breaks off by itself. */
  async removeOf(clientId: string): Promise<void> {
    for (const upload of this.#uploads) {
      if (upload.clientId === clientId && !upload.isUnderWay) await this.remove(upload);
    }
  }
}

class TooLarge extends Error {}

export async function receiveUpload(
  request: IncomingMessage,
  response: ServerResponse,
  { uploads, chosen }: { readonly uploads: Uploads; readonly chosen: ChosenFiles },
  clientId: string,
): Promise<void> {
  const name = shownName(String(request.headers['x-file-name'] ?? ''));
  if (Number(request.headers['content-length'] ?? 0) > uploads.limits.fileBytes)
    return refuse(response, 413, TOO_LARGE);
  const upload = await uploads.begin(clientId);
  if (!upload) return refuse(response, 429, 'Other files of this tab are still being handed over.');
  const { path } = upload;
  const bounded = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      done(uploads.grow(upload, chunk.length) ? null : new TooLarge(), chunk);
    },
  });
  try {
    await pipeline(request, bounded, createWriteStream(path, { flags: 'wx', mode: 0o600 }));
  } catch (error) {
    await uploads.remove(upload);
    if (error instanceof TooLarge) return refuse(response, 413, TOO_LARGE);
    const problem = fileProblem(error, path);
    if (problem) return refuse(response, 507, problem.message);
    throw error;
  }
  upload.isUnderWay = false;
  response.writeHead(200, { 'Content-Type': 'application/json' });
  response.end(wireText(chosen.add(path, 'file', clientId, name)));
}

const TOO_LARGE = 'The file is too large to be handed over here.';

/** The file's own name as the browser says it, percent-encoded; shown to people, never used as a path. */
function shownName(header: string): string {
  try {
    return decodeURIComponent(header).slice(0, MAX_NAME) || 'artwork.pdf';
  } catch {
    return 'artwork.pdf';
  }
}
