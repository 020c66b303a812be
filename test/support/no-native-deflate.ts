/**
 * Loaded with `--import` into a process and all its threads: makes every use of the runtime's own zlib for packing
 * fail.
 */
import { syncBuiltinESMExports } from 'node:module';
import zlib from 'node:zlib';

const PACKERS = Object.keys(zlib).filter(
  (name) => /deflate|gzip|compress/i.test(name) && !/decompress/i.test(name),
);

for (const name of PACKERS) {
  const refused = (): never => {
    throw new Error(`zlib.${name} is the runtime's own, whose bytes differ from machine to machine.`);
  };
  Object.defineProperty(zlib, name, { value: refused });
}
syncBuiltinESMExports();
