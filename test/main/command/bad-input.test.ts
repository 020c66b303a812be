/** A typing error gets one sentence with what to do, and changes nothing. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const read = async (...args: string[]) => JSON.parse((await run('--json', ...args)).out);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-bad-input-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob({ production: DEFAULT_PRODUCTION })));
  await run(...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--no-verification']);
});
afterEach(() => rmSync(folder, { recursive: true }));

async function refused(...args: string[]): Promise<string> {
  const { code, out, err } = await run(...args);
  expect(code).not.toBe(EXIT.done);
  expect(out).toBe('');
  expect(err.trimEnd().split('\n')).toHaveLength(1);
  return err.trimEnd();
}

const receive = (roll: string, length: string, ...more: string[]) =>
  run(
    ...[
      'stock-receive',
      '--material',
      'Cast print film',
      '--roll',
      roll,
      '--width',
      '1524',
      '--length',
      length,
    ],
    ...more,
  );

it('a roll that is shorter than claimed, and a roll that nobody received', async () => {
  await receive('12', '2 m', '--lot', '7741');
  const before = await read('stock-ledger', 'R-0001');
  expect(await refused('printed', 'SJ-7', '1', '--roll', 'R-0001')).toMatch(
    /^This takes [\d.]+ m?m off R-0001, which has 2 m left\. Measure what is left and correct the roll, or confirm/,
  );
  expect(await refused('printed', 'SJ-7', '1', '--roll', 'R-0002')).toBe(
    'The shelf has no roll R-0002. Read the code on the label of the roll, such as R-0042, or receive the roll first.',
  );
  expect(await read('stock-ledger', 'R-0001')).toEqual(before);
  expect((await read('history', 'SJ-7'))[0]).not.toHaveProperty('usedRolls');
});

it('a lot that is not known is called so, and is put right later for what was printed with it', async () => {
  await receive('12', '20 m', '--lot', '');
  await run('printed', 'SJ-7', '1', '--roll', 'R-0001');
  const used = async () => (await read('history', 'SJ-7'))[0].usedRolls[0];
  expect(await used()).toMatchObject({ lotNumber: '', rollNumber: '12' });
  expect((await run('stock')).out).toContain('lot not known');
  await run('stock-change', 'R-0001', '--lot', '7741');
  expect(await used()).toMatchObject({ lotNumber: '7741', rollNumber: '12' });
});

it('a unit number that stands twice, in a list and in a job file', async () => {
  const before = readFileSync(at('job.json'), 'utf8');
  writeFileSync(at('fleet.csv'), 'BM-07, ACL 4471\nBM-08, ACL 4472\nbm-07 , ACL 4473\n');
  expect(await refused('units', at('job.json'), '--list', at('fleet.csv'))).toContain(
    'Line 3: the unit number bm-07 stands on line 1 already. Give each vehicle a unit number of its own.',
  );
  expect(readFileSync(at('job.json'), 'utf8')).toBe(before);
  const units = ['BM-07', 'bm-07'].map((unitNumber) => ({ unitNumber, licensePlate: '' }));
  const typed = { ...JSON.parse(before), vehicles: [{ id: 'v1', kind: 'van', units }] };
  writeFileSync(at('job.json'), JSON.stringify(typed));
  expect(await refused('check', at('job.json'), '--artwork', at('art.pdf'))).toMatch(/bm-07/i);
});

it('a patch outside its panel, and one that is no rectangle', async () => {
  const patch = (damage: string) =>
    refused(
      ...[
        'patch',
        'SJ-7',
        '1',
        '--panel',
        'LH-02',
        '--damage',
        damage,
        '--reason',
        'torn',
        '--to',
        at('out'),
      ],
    );
  expect(await patch('200,500,90,70')).toBe(
    'The damage lies outside panel LH-02. Draw it on the panel, or select the panel that it lies on.',
  );
  expect(await patch('2000,500,0,70')).not.toBe('');
  expect(await patch('2000,500,90')).not.toBe('');
  expect(await read('history', 'SJ-7')).toHaveLength(1);
});
