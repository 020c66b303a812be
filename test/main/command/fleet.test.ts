/** A fleet on the command line: its list, its papers, and panels printed again for one vehicle. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobFromJson, jobToJson } from '../../../core/job/job-json.ts';
import type { Manifest } from '../../../core/output/manifest.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-fleet-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  writeFileSync(at('fleet.csv'), 'unit number;plate\nBM-07;ACL 4471\nBM-08;ACL 4472\n');
});
afterEach(() => rmSync(folder, { recursive: true }));

const manifestOf = (name: string): Manifest =>
  JSON.parse(readFileSync(join(at('out'), readdirSync(at('out'))[0]!, name, 'manifest.json'), 'utf8'));
const folders = (): string[] => readdirSync(join(at('out'), readdirSync(at('out'))[0]!)).sort();

it('VEH2 takes vehicles from a table, and says each bad line without changing the job', async () => {
  const taken = await run('units', at('job.json'), '--list', at('fleet.csv'));
  expect(taken.code).toBe(EXIT.done);
  expect(taken.out).toContain('2 vehicles that are alike');
  expect(taken.out).toContain('ACL 4472');
  const before = readFileSync(at('job.json'), 'utf8');
  const job = jobFromJson(before);
  expect(job.ok && job.value.vehicles[0]!.units.map(({ unitNumber }) => unitNumber)).toEqual([
    'BM-07',
    'BM-08',
  ]);

  writeFileSync(at('bad.csv'), 'BM-07,ACL 4471\nbm-07,ACL 4472\n,ACL 4473\n');
  const bad = await run('units', at('job.json'), '--list', at('bad.csv'));
  expect(bad.code).not.toBe(EXIT.done);
  expect(bad.err).toContain('Line 2: the unit number bm-07 stands on line 1 already');
  expect(bad.err).toContain('Line 3: the unit number is missing');
  expect(readFileSync(at('job.json'), 'utf8')).toBe(before);
  const type = await run('units', at('job.json'), '--type', 'T');
  expect(type.err).toContain('no type of vehicle T');
});

it('a reprint or a patch is for one vehicle of a fleet, and says which', async () => {
  const alone = await run(
    'cut',
    at('job.json'),
    '--artwork',
    at('art.pdf'),
    '--to',
    at('alone'),
    '--no-verification',
  );
  expect(alone.code).toBe(EXIT.done);
  await run('units', at('job.json'), '--list', at('fleet.csv'));
  const cut = await run(
    ...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--no-verification'],
  );
  expect(cut.err).toBe('');
  const first = manifestOf(folders().find((name) => name.startsWith('output-'))!);
  // Panels are cut once, and no unit number is in them.
  const ofOne: Manifest = JSON.parse(
    readFileSync(join(at('alone'), readdirSync(at('alone'))[0]!, 'output-1', 'manifest.json'), 'utf8'),
  );
  const hashes = ({ files }: Manifest) =>
    files.filter(({ kind }) => kind === 'panel').map(({ sha256 }) => sha256);
  expect(hashes(first)).toEqual(hashes(ofOne));

  const output = String(first.output.number);
  const reprint = (...more: string[]) =>
    run(
      ...['reprint', 'SJ-7', output, '--panels', 'LH-02', '--reason', 'torn', '--to', at('out')],
      ...['--sheets', 'labels,ticket', ...more],
    );
  const nobody = await reprint();
  expect(nobody.code).not.toBe(EXIT.done);
  expect(nobody.err).toContain('Panel LH-02 is on 2 vehicles, and nobody said for which');
  expect((await reprint('--vehicle', 'BM-09')).err).toContain('no vehicle BM-09');

  const again = await reprint('--vehicle', 'bm-08');
  expect(again.code).toBe(EXIT.done);
  expect(again.out).toContain('LH-02 for BM-08 written to');
  const name = folders().find((each) => each.includes('REPRINT'))!;
  expect(manifestOf(name).output.reprint!.unitNumber).toBe('BM-08');
  expect((await run('history', 'SJ-7')).out).toMatch(/reprint of Output \d+ for BM-08/);

  const patch = (...more: string[]) =>
    run(
      ...['patch', 'SJ-7', output, '--panel', 'LH-01', '--damage', '300, 120, 60, 40', '--reason', 'scraped'],
      ...['--to', at('out'), ...more],
    );
  expect((await patch()).err).toContain('Panel LH-01 is on 2 vehicles, and nobody said for which');
  const patched = await patch('--vehicle', 'bm-07');
  expect(patched.err).toBe('');
  expect(patched.out).toContain('LH-01 patch 1 for BM-07,');
  const ofPatch = folders().find((each) => each.endsWith('scraped'))!;
  expect(manifestOf(ofPatch).output.reprint!.unitNumber).toBe('BM-07');
  expect((await run('history', 'SJ-7')).out).toMatch(/reprint of Output \d+ for BM-07/);
  const jobs = await run('jobs', '--search', '4472');
  expect(jobs.out).toContain('2 vehicles');
});

it('FLT6 notes and counts go by vehicle, in the job file and at a panel', async () => {
  const one = await run('units', at('job.json'), '--vehicle', 'Small job', '--arrived', '2');
  expect(one.err).toContain('The job has one vehicle');
  await run('units', at('job.json'), '--list', at('fleet.csv'));
  const noted = await run(
    ...['units', at('job.json'), '--vehicle', 'bm-08', '--arrived', '1', '--note', 'Dent at the rear'],
  );
  expect(noted.err).toBe('');
  expect(noted.out).toMatch(/BM-08 .*1 of 2 panels arrived .*Dent at the rear/);
  expect((await run('units', at('job.json'), '--arrived', '1')).err).toContain(
    'Name it with --vehicle: BM-07 and',
  );
  expect((await run('units', at('job.json'), '--vehicle', 'BM-9', '--arrived', '1')).err).toContain(
    'no vehicle',
  );
  await run('cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--no-verification');
  const at2 = ['note', 'SJ-7', '--panel', 'LH-02', '--text', 'Rivet'] as const;
  expect((await run(...at2, '--vehicle', 'bm-07')).out).toContain('Kept at panel LH-02 of BM-07.');
  expect((await run(...at2, '--vehicle', 'BM-9')).err).toContain('Select from: BM-07, BM-08.');
  await run(...at2);
  const notes = JSON.parse((await run('--json', 'notes', 'SJ-7')).out);
  // Kept in the same second they may come in either order.
  const of = notes.map(({ unitNumber = 'all' }: { unitNumber?: string }) => unitNumber);
  expect(of.toSorted()).toEqual(['BM-07', 'all']);
  expect((await run('notes', 'SJ-7')).out).toContain('LH-02 · BM-07');

  // REC1: what was printed of one vehicle, and when all of them are off the printer.
  const record = (...args: string[]) => run('--json', 'record', 'SJ-7', '1', ...args);
  const wrong = (...args: string[]) => run('record', 'SJ-7', '1', '--film-lot', '1', ...args);
  expect((await wrong('--vehicle', 'BM-9')).err).toContain('is for no vehicle BM-9');
  expect((await wrong('--film', 'B')).err).toContain('has no film B');
  await record('--vehicle', 'bm-08', '--film-lot', '7745', '--off-printer', '2026-11-23 10:05');
  const last = await record('--vehicle', 'BM-07', '--off-printer', '2026-11-23 11:20');
  expect(JSON.parse(last.out).record).toEqual({
    offPrinter: '2026-11-23 11:20',
    parts: [
      { unitNumber: 'BM-08', filmLot: '7745', offPrinter: '2026-11-23 10:05' },
      { unitNumber: 'BM-07', offPrinter: '2026-11-23 11:20' },
    ],
  });
  expect((await run('record', 'SJ-7', '1')).out).toMatch(/BM-08 +Film lot, roll +7745/);
});
