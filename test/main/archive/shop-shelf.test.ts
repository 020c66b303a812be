import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { ShopItem } from '../../../core/contract/shop-items.ts';
import { jobEmpty } from '../../../core/job/defaults.ts';
import { savedLayoutFromSide } from '../../../core/job/edits/saved-layout.ts';
import { shopDefaults } from '../../../core/job/shop-defaults.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { DEFAULT_ROLL_RULES } from '../../../core/shop/rolls.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { askDatabase, describeArchives } from '../../support/archive-kinds.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

describeArchives('shelf', (newPlace) => {
  let folder: string;
  let place: string;
  let archive: Archive;

  beforeEach(async () => {
    ({ folder, place } = await newPlace());
    archive = await testArchive(place);
  });
  afterEach(async () => {
    await archive.close();
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
    it('is there in a later session, the latest first, each thing once', async () => {
      await archive.shelf.keep(savedLayout('Bookmobile'), '2026-03-09T08:00:00Z');
      await archive.shelf.keep(savedLayout('Outreach trailer'), '2026-03-10T08:00:00Z');
      await archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
      await archive.shelf.keep(savedLayout('Bookmobile'), '2026-03-11T08:00:00Z');
      await archive.close();
      archive = await testArchive(place);
      const { savedLayouts, materials } = await archive.shelf.items();
      expect(savedLayouts.map(({ name }) => name)).toEqual(['Bookmobile', 'Outreach trailer']);
      expect(materials).toEqual([laminate.value]);
      await archive.shelf.remove('saved-layout', 'Bookmobile');
      expect((await archive.shelf.items()).savedLayouts).toHaveLength(1);
    });

    it('goes into a backup', async () => {
      await archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
      const to = join(folder, 'backup');
      const tools = { signal: new AbortController().signal, report: () => undefined };
      expect((await archive.checks.backUp(to, tools)).ok).toBe(true);
      const copy = await testArchive(to);
      expect((await copy.shelf.items()).materials).toEqual([laminate.value]);
      await copy.close();
    });

    it('takes shared roll plans in', async () => {
      await archive.shelf.keep(sharedPlan, '2026-03-10T07:00:00Z');
      await archive.close();
      archive = await testArchive(place);
      expect(await archive.shelf.items()).toEqual({
        savedLayouts: [],
        materials: [],
        sharedRolls: [sharedPlan.value],
        sharedRollRevisions: { 'plan-3': 1 },
      });
      await archive.shelf.remove('shared-rolls', 'plan-3');
      expect((await archive.shelf.items()).sharedRolls).toEqual([]);
    });

    it('keeps no shared roll plan over one that another window has kept since', async () => {
      const keep = (plan: typeof sharedPlan, baseRevision: number) =>
        archive.shelf.keep(plan, '2026-03-10T07:00:00Z', baseRevision);
      const moved = { ...sharedPlan, value: { ...sharedPlan.value, placements: [] } };
      const otherId = { ...moved, value: { ...moved.value, id: 'plan-4' } };
      const refused = { ok: false, problem: { code: 'plan-changed-elsewhere' } };
      expect((await keep(sharedPlan, 0)).ok).toBe(true);
      expect(await keep(moved, 0)).toMatchObject(refused);
      expect(await keep(otherId, 0), 'begun for the same jobs in another window').toMatchObject(refused);
      expect((await archive.shelf.items()).sharedRolls).toEqual([sharedPlan.value]);
      expect((await keep(moved, 1)).ok).toBe(true);
      expect(await keep(sharedPlan, 1)).toMatchObject(refused);
      expect(await archive.shelf.items()).toMatchObject({
        sharedRolls: [moved.value],
        sharedRollRevisions: { 'plan-3': 2 },
      });
    });

    it('keeps one shop with one set of limits, with which new jobs begin', async () => {
      const begun = async () =>
        jobEmpty(
          { id: 'n', number: 'SJ-9', name: 'New', customer: 'Alder County Library', date: '2026-03-12' },
          (await archive.shelf.items()).profile,
        );
      const before = await begun();
      expect(before.artworkLimits).toBeUndefined();
      for (const maxInkPercent of [270, 260]) {
        const value = { ...DEFAULT_ARTWORK_LIMITS, maxInkPercent };
        await archive.shelf.keep(
          { kind: 'profile', value: { ...shopDefaults('en-US'), artworkLimits: value } },
          '2026-03-12T07:00:00Z',
        );
      }
      await archive.close();
      archive = await testArchive(place);
      expect(await begun()).toMatchObject({
        artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, maxInkPercent: 260 },
        displayUnit: 'in',
      });
      expect(before.artworkLimits).toBeUndefined();
    });

    it('leaves out what cannot be read, such as an item of a later version, and keeps it', async () => {
      await archive.shelf.keep(laminate, '2026-03-10T09:00:00Z');
      await archive.close();
      await askDatabase(
        place,
        `INSERT INTO shop_items VALUES ('material', 'lam-9', '{"use":"ink"}', '2027-01-01', 1)`,
      );
      archive = await testArchive(place);
      expect((await archive.shelf.items()).materials).toEqual([laminate.value]);
      await archive.close();
      expect(await askDatabase(place, 'SELECT id FROM shop_items')).toHaveLength(2);
      archive = await testArchive(place);
    });
  });
});
