/**
 * The built screens for a browser. What carries the hash of its content in its name is fetched once and kept for good;
 * it is packed for the way, once each. The page itself names them, so it is never kept.
 */
import { createReadStream } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { basename, dirname, extname, join, normalize, sep } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { promisify } from 'node:util';
import { brotliCompress, constants, gzip } from 'node:zlib';
import { firstOf } from '../../core/measure/present.ts';
import { MEDIA_TYPES } from '../screens/media-types.ts';
import { refuse } from './refusal.ts';

/** Where the bundler puts files whose names end with a hash of their content. */
const HASHED_FOLDER = 'assets';
const HASHED = /-[\w-]{8}\.\w+$/;
/** RFC 8246. */
const FOR_GOOD = 'public, max-age=31536000, immutable';
/** These are packed already. */
const PACKED = new Set(['.png', '.woff2']);
/** Half a second of work for all files of the screens; the highest takes four. */
const BROTLI_QUALITY = 9;

type Coding = 'br' | 'gzip';
const PACK: Readonly<Record<Coding, (bytes: Uint8Array) => Promise<Buffer>>> = {
  br: async (bytes) =>
    await promisify(brotliCompress)(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: BROTLI_QUALITY } }),
  gzip: async (bytes) => await promisify(gzip)(bytes, { level: 9 }),
};

export class ScreenFiles {
  readonly #folder: string;
  readonly #packed = new Map<string, Promise<Buffer>>();

  constructor(folder: string) {
    this.#folder = normalize(folder);
  }

  async serve(pathname: string, request: IncomingMessage, response: ServerResponse): Promise<void> {
    const path = normalize(join(this.#folder, pathname === '/' ? 'index.html' : pathname));
    const mediaType = MEDIA_TYPES[extname(path)];
    const isInside = path.startsWith(this.#folder + sep);
    const isFile = isInside && (await stat(path).catch(() => undefined))?.isFile();
    if (!isFile || mediaType === undefined) return refuse(response, 404, 'not found');
    response.setHeader('Content-Type', mediaType);
    if (this.#isHashed(path)) {
      response.setHeader('Cache-Control', FOR_GOOD);
      const coding = PACKED.has(extname(path)) ? undefined : acceptedCoding(request);
      if (coding !== undefined) {
        const bytes = await this.#packedFile(path, coding);
        response.writeHead(200, {
          'Content-Encoding': coding,
          'Content-Length': bytes.length,
          Vary: 'Accept-Encoding',
        });
        response.end(bytes);
        return;
      }
    }
    response.writeHead(200);
    await pipeline(createReadStream(path), response);
  }

  #isHashed(path: string): boolean {
    return dirname(path) === join(this.#folder, HASHED_FOLDER) && HASHED.test(basename(path));
  }

  /** Such a file never changes under its name. */
  #packedFile(path: string, coding: Coding): Promise<Buffer> {
    const name = `${coding} ${path}`;
    const known = this.#packed.get(name);
    if (known) return known;
    const packed = readFile(path).then(PACK[coding]);
    this.#packed.set(name, packed);
    packed.catch(() => this.#packed.delete(name));
    return packed;
  }
}

/** The best that the browser names; a weight of nothing, which none sends, is not looked for. */
function acceptedCoding({ headers }: IncomingMessage): Coding | undefined {
  const accepted = String(headers['accept-encoding'] ?? '')
    .split(',')
    .map((each) => firstOf(each.split(';')).trim().toLowerCase());
  return (['br', 'gzip'] as const).find((coding) => accepted.includes(coding));
}
