/** A shared archive copied by the tools of its server while it is in use, and restored on an empty server. */
import { execFile } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { archivePlace } from '../../../main/archive/archive-folder.ts';
import { commandLine } from '../../support/command-line.ts';
import { resultValue } from '../../support/panel-check.ts';
import { describeWithPostgres, newDatabase, postgresProgram } from '../../support/postgres.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-shared-backup-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const server = async (program: string, ...args: string[]) =>
  await promisify(execFile)(postgresProgram(program), args);

describeWithPostgres('a backup of a shared archive', () => {
  it('made while others save restores on an empty server, and a reprint from it is the same byte for byte', async () => {
    const database = await newDatabase();
    const place = archivePlace(database, at('vault'));
    writeFileSync(at('art.pdf'), await smallArtwork());
    writeFileSync(at('job.json'), jobToJson(smallJob()));
    const cut = ['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none'];
    expect((await commandLine(['--archive', place, ...cut])).code).toBe(0);

    const archive = await testArchive(place);
    let isCopied = false;
    let saves = 0;
    const saving = (async () => {
      for (; !isCopied; saves++) {
        const other = smallJob({ id: `other-${saves}`, number: `O-${saves}` });
        resultValue(await archive.jobs.save(other, { panelLabels: [], now: '2026-03-09T10:11:12Z' }));
      }
    })();
    // The database first: the vault has every file before a row names it.
    await server('pg_dump', '--format=custom', `--file=${at('archive.dump')}`, database);
    cpSync(at('vault'), at('vault-copy'), { recursive: true, preserveTimestamps: true });
    isCopied = true;
    await saving;
    await archive.close();
    expect(saves).toBeGreaterThan(0);

    const empty = await newDatabase();
    await server('pg_restore', '--exit-on-error', `--dbname=${empty}`, at('archive.dump'));
    const restored = ['--archive', empty, '--vault', at('vault-copy')];
    expect((await commandLine([...restored, 'archive-check'])).out).toMatch(/is sound/);
    const reprint = ['reprint', 'SJ-7', '1', '--panels', 'LH-02', '--reason', 'torn', '--to', at('again')];
    const again = await commandLine([...restored, ...reprint, '--sheets', 'none']);
    expect(again.out).toContain('byte-identical');
    expect(again.out).toMatch(/^Verified/m);
    const panel = (...output: string[]) => readFileSync(at(...output, 'panels', 'SJ-7_LH-02.pdf'));
    expect(
      panel('again', 'SJ-7', 'output-2_REPRINT-of-1_2026-03-09_torn').equals(
        panel('out', 'SJ-7', 'output-1'),
      ),
    ).toBe(true);
  });
});
