/** A folder that looks like Electron as far as packing goes: with it, a release can be packed where Electron is not. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Marks where Electron keeps its fuses: the sentinel, the version, their number, one digit each. */
const FUSES = Buffer.concat([
  Buffer.from('dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX', 'latin1'),
  Buffer.from([1, 9]),
  Buffer.from('111111111', 'latin1'),
]);

export function makeElectronStandIn(folder: string): void {
  mkdirSync(join(folder, 'resources'), { recursive: true });
  const program = Buffer.concat([
    Buffer.from('\x7fELF', 'latin1'),
    Buffer.alloc(999),
    FUSES,
    Buffer.alloc(99),
  ]);
  writeFileSync(join(folder, 'electron'), program, { mode: 0o755 });
  for (const name of ['LICENSE', 'LICENSES.chromium.html', 'version'])
    writeFileSync(join(folder, name), name);
}
