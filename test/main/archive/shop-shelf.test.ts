import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SHOP_LIMITS_ID, type ShopItem } from '../../../core/contract/shop-items.ts';
import { jobEmpty } from '../../../core/job/defaults.ts';
import { savedLayoutFromSide } from '../../../core/job/edits/saved-layout.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { DEFAULT_ROLL_RULES } from '../../../core/shop/rolls.ts';
import { Archive } from '../../../main/archive/archive.ts';
import { archiveCopied } from '../../../main/archive/backup.ts';
import { MIGRATIONS } from '../../../main/archive/migrations.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
let archive: Archive;

function opened(at = folder): Archive {
  const result = Archive.open(at);
  if (!result.ok) throw new Error(result.problem.message);
  return result.value;
}
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-shelf-'));
  archive = opened();
});
afterEach(() => {
  archive.close();
  rmSync(folder, { recursive: true });
});

const savedLayout = (name: string): ShopItem => ({
  kind: 'saved-layout',
  value: savedLayoutFromSide(smallJob().sides[0]!, 10, name),
});
const laminate: ShopItem = {
  kind: 'material',
  value: {
    use: 'laminate',
    id: 'lam-4',
    name: 'Gloss laminate',
    kind: 'cast',
    finish: 'gloss',
    thicknessUm: 30,
    adhesive: 'solvent acrylic',
    serviceYears: 7,
    widthMm: 1370,
    lengthMm: 45_720,
    pricePerM2: 8.25,
    lotNumber: 'B-19',
  },
};

const sharedPlan: ShopItem = {
  kind: 'shared-rolls',
  value: {
    id: 'plan-3',
    film: 'Cast print film',
    jobs: ['a', 'b'].map((id) => ({
      id,
      mark: `SJ-${id}`,
      panels: [{ panelId: `${id}/p1`, label: `SJ-${id} LH-01`, widthMm: 710, lengthMm: 1930 }],
    })),
    rolls: [],
    rules: DEFAULT_ROLL_RULES,
    placements: [{ panelId: 'a/p1', rollId: 'roll-1', xMm: 12, yMm: 205, turned: true }],
    locked: [],
  },
};

describe('what a shop keeps for its next job', () => {
  it('is there in a later session, the latest first, each thing once', () => {
    archive.shelf.keep(savedLayout('Bookmobile'), '2026-03-09T08:00:00Z');
    archive.shelf.keep(savedLayout('Outreach trailer'), '2026-03-10T08:00:00Z');
    archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
    archive.shelf.keep(savedLayout('Bookmobile'), '2026-03-11T08:00:00Z');
    archive.close();
    archive = opened();
    const { savedLayouts, materials } = archive.shelf.items();
    expect(savedLayouts.map(({ name }) => name)).toEqual(['Bookmobile', 'Outreach trailer']);
    expect(materials).toEqual([laminate.value]);
    archive.shelf.forget('saved-layout', 'Bookmobile');
    expect(archive.shelf.items().savedLayouts).toHaveLength(1);
  });

  it('goes into a backup', async () => {
    archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
    const to = join(folder, 'backup');
    const tools = { signal: new AbortController().signal, report: () => undefined };
    expect((await archiveCopied(archive, to, tools)).ok).toBe(true);
    const copy = opened(to);
    expect(copy.shelf.items().materials).toEqual([laminate.value]);
    copy.close();
  });

  it('finds room in an archive from before it, whose jobs stay', () => {
    archive.close();
    const path = Archive.databasePath(folder);
    rmSync(path);
    const db = new Database(path);
    for (const step of MIGRATIONS.slice(0, 3)) db.exec(step);
    db.pragma('user_version = 3');
    db.prepare(
      `INSERT INTO jobs (id, number, name, customer, unit_name, document, revision, created_at, updated_at)
       VALUES ('old', 'SJ-1', 'Old', 'Alder County Library', '', ?, 1, '2026-01-01', '2026-01-01')`,
    ).run(JSON.stringify(smallJob()));
    expect(() => db.prepare('SELECT * FROM shop_items').all()).toThrow(/no such table/);
    db.close();
    archive = opened();
    archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
    expect(archive.shelf.items().materials).toHaveLength(1);
    expect(archive.job('old').ok).toBe(true);
  });

  it('RL21 takes shared roll plans in, also in an archive from before them, whose items stay', () => {
    archive.close();
    const path = Archive.databasePath(folder);
    rmSync(path);
    const db = new Database(path);
    for (const step of MIGRATIONS.slice(0, 4)) db.exec(step);
    db.pragma('user_version = 4');
    const put = db.prepare('INSERT INTO shop_items (kind, id, content, kept_at) VALUES (?, ?, ?, ?)');
    put.run('material', 'lam-4', JSON.stringify(laminate.value), '2026-03-08T07:00:00Z');
    expect(() => put.run('shared-rolls', 'plan-3', '{}', '2026-03-09T07:00:00Z')).toThrow(/CHECK/);
    db.close();
    archive = opened();
    expect(archive.shelf.items()).toEqual({ savedLayouts: [], materials: [laminate.value], sharedRolls: [] });
    archive.shelf.keep(sharedPlan, '2026-03-10T07:00:00Z');
    archive.close();
    archive = opened();
    expect(archive.shelf.items().sharedRolls).toEqual([sharedPlan.value]);
    archive.shelf.forget('shared-rolls', 'plan-3');
    expect(archive.shelf.items()).toEqual({ savedLayouts: [], materials: [laminate.value], sharedRolls: [] });
  });

  it('AC24 keeps one set of limits, with which new jobs begin, also in an archive from before them', () => {
    archive.close();
    const path = Archive.databasePath(folder);
    rmSync(path);
    const db = new Database(path);
    for (const step of MIGRATIONS.slice(0, 5)) db.exec(step);
    db.pragma('user_version = 5');
    const put = db.prepare('INSERT INTO shop_items (kind, id, content, kept_at) VALUES (?, ?, ?, ?)');
    put.run('material', 'lam-4', JSON.stringify(laminate.value), '2026-03-08T07:00:00Z');
    expect(() => put.run('artwork-limits', 'shop', '{}', '2026-03-09T07:00:00Z')).toThrow(/CHECK/);
    db.close();
    archive = opened();
    const begun = () =>
      jobEmpty(
        { id: 'n', number: 'SJ-9', name: 'New', customer: 'Alder County Library', date: '2026-03-12' },
        archive.shelf.items(),
      );
    const before = begun();
    expect([before.artworkLimits, archive.shelf.items().materials]).toEqual([undefined, [laminate.value]]);
    const keep = (maxInkPercent: number) =>
      archive.shelf.keep(
        { kind: 'artwork-limits', value: { ...DEFAULT_ARTWORK_LIMITS, maxInkPercent } },
        '2026-03-12T07:00:00Z',
      );
    keep(270);
    keep(260);
    archive.close();
    archive = opened();
    expect(begun().artworkLimits).toEqual({ ...DEFAULT_ARTWORK_LIMITS, maxInkPercent: 260 });
    expect(before.artworkLimits).toBeUndefined();
    archive.shelf.forget('artwork-limits', SHOP_LIMITS_ID);
    expect(begun().artworkLimits).toBeUndefined();
  });

  it('leaves out what cannot be read, such as an item of a later version, and keeps it', () => {
    archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
    archive.close();
    const db = new Database(Archive.databasePath(folder));
    db.exec(`INSERT INTO shop_items VALUES ('material', 'lam-9', '{"use":"ink"}', '2027-01-01')`);
    db.close();
    archive = opened();
    expect(archive.shelf.items().materials).toEqual([laminate.value]);
    archive.close();
    const after = new Database(Archive.databasePath(folder));
    expect(after.prepare('SELECT count(*) AS n FROM shop_items').get()).toEqual({ n: 2 });
    after.close();
    archive = opened();
  });
});
