/** What a release has written opens in every later one: the formats of released versions stay as they are. */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { z } from 'zod';
import { ShopItem } from '../../core/contract/shop-items.ts';
import { MIGRATIONS } from '../../core/job/migrate.ts';
import { JOB_SCHEMA, JOB_VERSION } from '../../core/job/schema.ts';
import { CURRENT_SCHEMA } from '../../core/output/current-manifest.ts';
import { MANIFEST_SCHEMA } from '../../core/output/manifest.ts';
import { schemaText } from '../../core/output/published-schemas.ts';
import { schemaHash } from '../../main/archive/migrate.ts';
import { SCHEMA } from '../../main/archive/schema.ts';
import { sha256Hex } from '../../main/files/sha256.ts';

/** By format, the hash of each version from 1 on. A hash here is never edited: add that of a new version. */
const RELEASED: Readonly<Record<string, readonly string[]>> = {
  job: ['f569cdbebd07caf7'],
  manifest: ['eadb4b03a03b59ce'],
  current: ['4909f6108532cf95'],
  archive: ['020583c6357c1bdd'],
  /** Has no version: a new hash is one that adds optional fields alone, and reads all that was kept. */
  settings: ['e69940afc033da6c'],
};

const hashOf = (schema: z.core.JSONSchema.BaseSchema): string =>
  sha256Hex(new TextEncoder().encode(schemaText(schema))).slice(0, 16);

const present: Readonly<Record<string, { readonly version?: number; readonly hash: string }>> = {
  job: { version: JOB_VERSION, hash: JOB_SCHEMA },
  manifest: { hash: MANIFEST_SCHEMA },
  current: { hash: CURRENT_SCHEMA },
  archive: {
    version: SCHEMA.length,
    hash: schemaHash(SCHEMA, ({ sql, sqlite = '', postgres = '' }) => sql + sqlite + postgres),
  },
  settings: { hash: hashOf(z.toJSONSchema(ShopItem, { unrepresentable: 'any' })) },
};

it.each(Object.keys(RELEASED))('the format of %s is one that may be released', (format) => {
  const { version = RELEASED[format]!.length, hash } = present[format]!;
  expect(
    RELEASED[format]![version - 1],
    `A release has written ${format} of this version in another shape. A change needs a new version and a migration, see “Ways of working” in DEVELOPERS.md.`,
  ).toBe(hash);
});

it('each version of the job document is carried over from the one before', () => {
  expect(MIGRATIONS.map(({ to, takes }) => [to, takes])).toEqual(
    RELEASED.job!.slice(0, JOB_VERSION - 1).map((takes, index) => [index + 2, takes]),
  );
});

it.each(RELEASED.job!.map((hash, index) => [index + 1, hash] as const))(
  'the tests hold a job document of version %i',
  (version, schema) => {
    const path = new URL(`../core/job/documents/version-${version}.json`, import.meta.url);
    expect(JSON.parse(readFileSync(path, 'utf8'))).toMatchObject({ version, schema });
  },
);
