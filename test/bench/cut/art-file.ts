/** A PDF of one page written straight to disk, object by object, so that it may have any size. */
import { closeSync, openSync, writeSync } from 'node:fs';
import { constants, deflateRawSync } from 'node:zlib';
import { ADLER_START, adler32 } from '../../../core/pdf/file/adler32.ts';

/** The page, in points: 16.2 m by 2.73 m at 1:10. */
export const PAGE = { width: 4592, height: 775 } as const;

/** Objects before the art's own: catalog, pages, page, content, font, resources. */
const OWN_OBJECTS = 6;

export interface ArtStream {
  /** Without its length. */
  readonly dict: string;
  readonly length: number;
  parts(): Iterable<Uint8Array>;
}

export interface Art {
  readonly content: Iterable<string>;
  /** Beside the font `F`; its objects have the numbers that `objectNumber` gives. */
  readonly resources?: string;
  readonly objects?: readonly ArtStream[];
}

/** The number of the art's own object, counted from 0. */
export const objectNumber = (index: number): number => OWN_OBJECTS + 1 + index;

export function writeArt(path: string, { content, resources = '', objects = [] }: Art): void {
  const file = openSync(path, 'w');
  let at = 0;
  const write = (bytes: Uint8Array | string): void => {
    const buffer = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : bytes;
    for (let done = 0; done < buffer.length; ) done += writeSync(file, buffer, done);
    at += buffer.length;
  };
  const offsets: number[] = [];
  const object = (text: string): void => {
    offsets.push(at);
    write(`${offsets.length} 0 obj\n${text}`);
  };
  const stream = ({ dict, length, parts }: ArtStream): void => {
    object(`<< ${dict} /Length ${length} >>\nstream\n`);
    for (const part of parts()) write(part);
    write('\nendstream\nendobj\n');
  };
  write('%PDF-1.6\n');
  object('<< /Type /Catalog /Pages 2 0 R >>\nendobj\n');
  object('<< /Type /Pages /Kids [3 0 R] /Count 1 >>\nendobj\n');
  object(
    `<< /Type /Page /Parent 2 0 R /MediaBox [0 0 ${PAGE.width} ${PAGE.height}] /Contents 4 0 R /Resources 6 0 R >>\nendobj\n`,
  );
  stream(packedStream('', content));
  object('<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >>\nendobj\n');
  object(`<< /Font << /F 5 0 R >> ${resources} >>\nendobj\n`);
  for (const one of objects) stream(one);
  const start = at;
  const table = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('');
  const size = offsets.length + 1;
  write(
    `xref\n0 ${size}\n0000000000 65535 f \n${table}trailer\n<< /Size ${size} /Root 1 0 R >>\nstartxref\n${start}\n%%EOF\n`,
  );
  closeSync(file);
}

const PIECE_BYTES = 1 << 20;

/** Text or bytes packed by Flate, piece by piece, because a long content is longer than a string may be. */
export function packedStream(dict: string, content: Iterable<string | Uint8Array>): ArtStream {
  const packed: Uint8Array[] = [Uint8Array.of(0x78, 0x9c)];
  let checksum = ADLER_START;
  let waiting: Buffer[] = [];
  let length = 0;
  const pack = (finishFlush: number): void => {
    const bytes = Buffer.concat(waiting);
    waiting = [];
    length = 0;
    checksum = adler32(bytes, checksum);
    packed.push(deflateRawSync(bytes, { finishFlush }));
  };
  for (const part of content) {
    const bytes = Buffer.from(part as string, 'latin1');
    waiting.push(bytes);
    length += bytes.length;
    if (length >= PIECE_BYTES) pack(constants.Z_SYNC_FLUSH);
  }
  pack(constants.Z_FINISH);
  const tail = Buffer.alloc(4);
  tail.writeUInt32BE(checksum);
  packed.push(tail);
  return {
    dict: `${dict} /Filter /FlateDecode`,
    length: packed.reduce((sum, part) => sum + part.length, 0),
    parts: () => packed,
  };
}
