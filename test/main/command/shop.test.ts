import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { shopDefaults } from '../../../core/job/shop-defaults.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork } from '../../support/small-job.ts';

let folder: string;
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-shop-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (locale: string, ...args: string[]) =>
  commandLine(['--archive', at('archive'), ...args], { locale });
const begun = async (locale: string, number: string, ...more: string[]) => {
  writeFileSync(at('art.pdf'), await smallArtwork());
  const file = at(`${number}.json`);
  const ended = await run(
    locale,
    ...['begin', file, '--artwork', at('art.pdf'), '--number', number, '--customer', 'Alder', ...more],
  );
  expect(ended.err).toBe('');
  return JSON.parse(readFileSync(file, 'utf8'));
};

describe('shop', () => {
  it('prints the shop as it is before anybody has set it up, by region', async () => {
    expect(JSON.parse((await run('en-US', 'shop')).out)).toEqual(shopDefaults('en-US'));
    expect(JSON.parse((await run('de-DE', '--json', 'shop')).out)).toEqual(shopDefaults('de-DE'));
  });

  it('keeps another, with which jobs begin from then on', async () => {
    expect(await begun('en-US', 'A-1')).toMatchObject({
      displayUnit: 'in',
      sides: [{ code: 'DS', name: 'Driver side' }],
    });
    const own = { ...shopDefaults('de-DE'), name: 'Alder Sign Works', phone: '555-0142', preparedBy: 'Jo' };
    writeFileSync(at('shop.json'), JSON.stringify(own));
    const kept = await run('en-US', 'shop', '--set', at('shop.json'));
    expect(kept).toMatchObject({
      code: EXIT.done,
      out: 'New jobs begin with the settings of Alder Sign Works from now on.\n',
    });
    expect(JSON.parse((await run('en-US', 'shop')).out)).toEqual(own);
    expect(await begun('en-US', 'A-2')).toMatchObject({
      displayUnit: 'mm',
      preparedBy: 'Jo',
      shop: { name: 'Alder Sign Works', address: '', phone: '555-0142' },
      sides: [{ code: 'LH' }],
    });
    expect(await begun('en-US', 'A-3', '--inches')).toMatchObject({ displayUnit: 'in' });
  });

  it('says what is wrong with a file that is no shop, and keeps nothing of it', async () => {
    writeFileSync(at('shop.json'), JSON.stringify({ ...shopDefaults('en-US'), printers: [] }));
    const ended = await run('en-US', 'shop', '--set', at('shop.json'));
    expect(ended.code).toBe(EXIT.input);
    expect(ended.err).toContain('printers must have at least 1 entry, but it is a list.');
    writeFileSync(at('shop.json'), 'no');
    expect((await run('en-US', 'shop', '--set', at('shop.json'))).err).toContain('It is not JSON.');
    expect((await run('en-US', 'shop', '--set', at('none.json'))).code).toBe(EXIT.files);
    expect(JSON.parse((await run('en-US', 'shop')).out)).toEqual(shopDefaults('en-US'));
  });
});
