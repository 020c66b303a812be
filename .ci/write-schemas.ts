/**
 * Writes the JSON Schemas of the files that other programs, and people, read and write. The hash of each schema goes
 * into the program, into the schema and into the documents of the repository that are of it.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { JOB_VERSION } from '../core/job/schema.ts';
import { present } from '../core/measure/present.ts';
import { PUBLISHED_SCHEMAS, schemaText } from '../core/output/published-schemas.ts';
import { sha256Hex } from '../main/files/sha256.ts';

/** Where each hash stands in the repository. */
const HOLDERS = {
  'job.schema.json': [
    'core/job/schema.ts',
    'assets/demo/bookmobile.job.json',
    'assets/demo/outreach-trailer.job.json',
    `test/core/job/documents/version-${JOB_VERSION}.json`,
  ],
  'current.schema.json': ['core/output/current-manifest.ts'],
  'manifest.schema.json': ['core/output/manifest.ts'],
} as const satisfies Record<keyof typeof PUBLISHED_SCHEMAS, readonly string[]>;

for (const [file, schema] of Object.entries(PUBLISHED_SCHEMAS)) {
  const published = schema();
  const hash = sha256Hex(new TextEncoder().encode(schemaText(published))).slice(0, 16);
  Object.assign(present(published.properties?.schema, 'The hash of a schema'), { const: hash });
  writeFileSync(fromRoot(`assets/${file}`), `${JSON.stringify(published, undefined, 2)}\n`);
  for (const holder of HOLDERS[file as keyof typeof HOLDERS]) {
    const text = readFileSync(fromRoot(holder), 'utf8');
    writeFileSync(fromRoot(holder), text.replace(/(_SCHEMA = '|"schema": ")[^'"]*/, `$1${hash}`));
  }
}

function fromRoot(path: string): URL {
  return new URL(`../${path}`, import.meta.url);
}
