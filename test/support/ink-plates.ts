/** A page separated by Ghostscript, which knows nothing of this program. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runTool } from './tools.ts';

/** Samples of each plate of the first page by the name of its ink; 255 is bare, 0 full tone. */
export function inkPlates(path: string, ppi = 144): Map<string, Uint8Array> {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-plates-'));
  try {
    runTool('gs', [
      '-q',
      '-dBATCH',
      '-dNOPAUSE',
      '-dSAFER',
      '-sDEVICE=tiffsep',
      '-sCompression=none',
      `-r${ppi}`,
      `-sOutputFile=${join(folder, 'p.tif')}`,
      path,
    ]);
    const plates = new Map<string, Uint8Array>();
    for (const file of readdirSync(folder)) {
      const name = /\((.*)\)/.exec(file)?.[1];
      if (name !== undefined) plates.set(name, tiffSamples(readFileSync(join(folder, file))));
    }
    return plates;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Samples of an uncompressed gray TIFF of 8 bits (TIFF 6.0, section 4), strip by strip. */
function tiffSamples(file: Buffer): Uint8Array {
  const isLittle = file.toString('latin1', 0, 2) === 'II';
  const short = (at: number) => (isLittle ? file.readUInt16LE(at) : file.readUInt16BE(at));
  const long = (at: number) => (isLittle ? file.readUInt32LE(at) : file.readUInt32BE(at));
  const directory = long(4);
  const tag = (wanted: number): number[] => {
    for (let entry = 0; entry < short(directory); entry++) {
      const at = directory + 2 + 12 * entry;
      if (short(at) !== wanted) continue;
      const [read, size] = short(at + 2) === 3 ? [short, 2] : [long, 4];
      const count = long(at + 4);
      const from = count * size <= 4 ? at + 8 : long(at + 8);
      return Array.from({ length: count }, (_, index) => read(from + index * size));
    }
    return [];
  };
  const [offsets, counts] = [tag(273), tag(279)];
  return Buffer.concat(offsets.map((offset, index) => file.subarray(offset, offset + counts[index]!)));
}
