/** Writes the JSON Schemas of the files that other programs, and people, read and write. */
import { writeFileSync } from 'node:fs';
import { PUBLISHED_SCHEMAS } from '../core/output/published-schemas.ts';

for (const [file, schema] of Object.entries(PUBLISHED_SCHEMAS)) {
  const target = new URL(`../assets/${file}`, import.meta.url);
  writeFileSync(target, `${JSON.stringify(schema(), undefined, 2)}\n`);
}
