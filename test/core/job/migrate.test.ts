import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { jobFromJson } from '../../../core/job/job-json.ts';
import { documentMigrated, MIGRATIONS, type Migration } from '../../../core/job/migrate.ts';
import { JOB_VERSION } from '../../../core/job/schema.ts';

/** One document of each version, as that version wrote it; never edited once the version is released. */
const folder = join(import.meta.dirname, 'documents');

describe('job versions', () => {
  it('each version after the first has exactly one migration, in order, without gaps', () => {
    expect(MIGRATIONS.map(({ to }) => to)).toEqual(
      Array.from({ length: JOB_VERSION - 1 }, (_, index) => index + 2),
    );
    for (const { reason } of MIGRATIONS) expect(reason.length).toBeGreaterThan(10);
  });

  it('a document of every version that was ever written is still read', () => {
    const names = Array.from({ length: JOB_VERSION }, (_, index) => `version-${index + 1}.json`);
    expect(readdirSync(folder).sort()).toEqual(names.sort());
    for (const name of names) {
      const text = readFileSync(join(folder, name), 'utf8');
      expect(text).toContain(`"version": ${/\d+/.exec(name)![0]},`);
      expect(jobFromJson(text), name).toMatchObject({ ok: true, value: { version: JOB_VERSION } });
    }
  });

  it('a document of the version before takes the step once, one of the present version takes none', () => {
    const step: Migration = {
      to: 2,
      takes: 'one',
      reason: 'renames a field',
      change: ({ old, ...rest }) => ({ ...rest, renamed: old }),
    };
    const present = { version: 2, schema: 'two' };
    const migrated = (document: Record<string, unknown>) => documentMigrated(document, [step], present);
    expect(migrated({ version: 1, schema: 'one', old: 'x' })).toEqual({
      ok: true,
      value: { ...present, renamed: 'x' },
    });
    expect(migrated({ ...present, old: 'x' })).toEqual({ ok: true, value: { ...present, old: 'x' } });
    expect(migrated({ version: 3, schema: 'three' })).toMatchObject({
      problem: { code: 'job-newer-version' },
    });
    for (const document of [{ version: 1, schema: 'two' }, { version: 2, schema: 'one' }, { version: 2 }]) {
      expect(migrated(document)).toMatchObject({ problem: { code: 'job-other-draft' } });
    }
  });
});
