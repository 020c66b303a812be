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
import { refuse } from './refusal.ts';

/** Artwork of 2 GB is what large shops have; twice that is a mistake or an attack. */
const MAX_UPLOAD_BYTES = 4 * 2 ** 30;
const MAX_NAME = 255;
/** An artwork is in the archive once it is imported; a tab that chooses again and again must not fill the disk. */
const KEPT_UPLOADS = 3;

/** Paths of uploaded files by browser tab, oldest first. */
export type Uploads = Map<string, string[]>;

class TooLarge extends Error {}

export async function receiveUpload(
  request: IncomingMessage,
  response: ServerResponse,
  host: {
    readonly uploadFolder: string;
    readonly uploads: Uploads;
    readonly chosen: ChosenFiles;
    readonly clientId: string;
  },
): Promise<void> {
  const name = shownName(String(request.headers['x-file-name'] ?? ''));
  await mkdir(host.uploadFolder, { recursive: true });
  const path = join(host.uploadFolder, randomBytes(16).toString('hex'));
  try {
    await pipeline(request, bounded(MAX_UPLOAD_BYTES), createWriteStream(path, { flags: 'wx' }));
  } catch (error) {
    await rm(path, { force: true });
    if (error instanceof TooLarge) return refuse(response, 413, 'too large');
    throw error;
  }
  const own = [...(host.uploads.get(host.clientId) ?? []), path];
  while (own.length > KEPT_UPLOADS) await rm(own.shift()!, { force: true });
  host.uploads.set(host.clientId, own);
  response.writeHead(200, { 'Content-Type': 'application/json' });
  response.end(wireText(host.chosen.add(path, 'file', host.clientId, name)));
}

/** The file's own name as the browser says it, percent-encoded; shown to people, never used as a path. */
function shownName(header: string): string {
  try {
    return decodeURIComponent(header).slice(0, MAX_NAME) || 'artwork.pdf';
  } catch {
    return 'artwork.pdf';
  }
}

function bounded(limit: number): Transform {
  let size = 0;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      size += chunk.length;
      done(size > limit ? new TooLarge() : null, chunk);
    },
  });
}
