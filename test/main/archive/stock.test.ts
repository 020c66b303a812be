import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import { recordWithLots } from '../../../core/output/used-roll.ts';
import type { StockFacts } from '../../../core/shop/stock-roll.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { askDatabase, describeArchives } from '../../support/archive-kinds.ts';
import { randomFrom } from '../../support/random.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

describeArchives('stock', (newPlace) => {
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

  const entry = { at: '2026-11-20T13:05:00Z', by: 'Ada', unit: 'mm' } as const;

  const facts = (over: Partial<StockFacts> = {}): StockFacts => ({
    use: 'film',
    material: 'Cast print film',
    lotNumber: '7741',
    rollNumber: '12',
    widthMm: 1371.6,
    place: 'Rack B, level 2',
    receivedOn: '2026-09-03',
    useBy: '2028-09-03',
    ...over,
  });

  async function received(lengthMm: number, over: Partial<StockFacts> = {}, id = 'roll-a') {
    const roll = await archive.stock.receive(id, facts(over), lengthMm, entry);
    if (!roll.ok) throw new Error(roll.problem.message);
    return roll.value;
  }

  const codeOf = (result: { ok: boolean; problem?: { code: string } }) => result.problem?.code;
  const off = (offMm: number, rollId = 'roll-a') => ({
    rollId,
    kind: 'scrapped' as const,
    length: { offMm },
    note: 'crease',
  });
  const leftOf = async (id = 'roll-a') => {
    const roll = await archive.stock.find(id);
    return roll.ok ? roll.value.leftMm : Number.NaN;
  };

  describe('the length left on a roll is the sum of its ledger', () => {
    it('through receiving, printing, counting and scrapping', async () => {
      await received(45_720);
      await archive.stock.enterPrinted(printed([{ rollId: 'roll-a', offMm: 12_480.5 }]));
      expect(await leftOf()).toBe(33_239.5);
      await archive.stock.move(off(239.5), entry);
      const counted = {
        rollId: 'roll-a',
        kind: 'corrected',
        length: { countedMm: 32_760 },
        note: '',
      } as const;
      await archive.stock.move(counted, entry);
      expect(await leftOf()).toBe(32_760);
      const ledger = await archive.stock.ledger('roll-a');
      expect(ledger.map(({ kind, deltaMm }) => [kind, deltaMm])).toEqual([
        ['received', 45_720],
        ['printed', -12_480.5],
        ['scrapped', -239.5],
        ['corrected', -240],
      ]);
    });

    it('whatever was moved and undone in which order', async () => {
      const random = randomFrom(4127);
      await received(1_000_000);
      const open: { readonly id: number; readonly deltaMm: number }[] = [];
      let expected = 1_000_000;
      for (let step = 0; step < 120; step++) {
        const wrong = open[Math.floor(random() * open.length)];
        if (wrong && random() < 0.4) {
          open.splice(open.indexOf(wrong), 1);
          const undone = await archive.stock.undo(wrong.id, '', entry);
          expect(undone.ok).toBe(true);
          expected -= wrong.deltaMm;
        } else {
          const mm = Math.round(random() * 7_000_000) / 1000;
          const moved = await archive.stock.move(off(mm), entry);
          expect(moved.ok).toBe(true);
          open.push({ id: (await archive.stock.ledger('roll-a')).at(-1)!.id, deltaMm: -mm });
          expected -= mm;
        }
        const ledger = await archive.stock.ledger('roll-a');
        const sum = ledger.reduce((total, { deltaMm }) => total + Math.round(deltaMm * 1000), 0) / 1000;
        expect(await leftOf()).toBe(sum);
        expect(sum).toBeCloseTo(expected, 6);
      }
      expect((await archive.stock.ledger('roll-a')).some(({ undoneBy }) => undoneBy !== undefined)).toBe(
        true,
      );
    });

    it('and neither the program nor anybody else can change or remove an entry', async () => {
      await received(10_000);
      await archive.close();
      await expect(askDatabase(place, 'UPDATE stock_movements SET delta_um = 1')).rejects.toThrow(
        'never changed',
      );
      await expect(askDatabase(place, 'DELETE FROM stock_movements')).rejects.toThrow('never removed');
      archive = await testArchive(place);
      expect(await leftOf()).toBe(10_000);
    });
  });

  const printed = (
    rolls: readonly {
      rollId: string;
      offMm: number;
      kind?: 'printed' | 'laminated';
      panelLabels?: string[];
    }[],
  ) => ({
    ...entry,
    jobId: 'small-job',
    jobNumber: 'SJ-7',
    outputNumber: 1,
    movements: rolls.map(
      ({ rollId, offMm, kind = 'printed' as const, panelLabels = ['LH-01', 'LH-02'] }) => ({
        rollId,
        kind,
        length: { offMm },
        note: '',
        panelLabels,
      }),
    ),
  });

  describe('STK2: no roll comes out below zero unless somebody says so', () => {
    it('refuses as a whole, with both lengths, and enters nothing', async () => {
      await received(5000);
      await received(9000, { rollNumber: '13' }, 'roll-b');
      const short = printed([
        { rollId: 'roll-b', offMm: 4000 },
        { rollId: 'roll-a', offMm: 5000.5 },
      ]);
      const refused = await archive.stock.enterPrinted(short);
      expect(refused).toMatchObject({
        problem: {
          code: 'stock-below-zero',
          message: 'This takes 5000.5 mm off R-0001, which has 5 m left.',
        },
      });
      expect([await leftOf(), await leftOf('roll-b')]).toEqual([5000, 9000]);
      const allowed = await archive.stock.enterPrinted({ ...short, isBelowZeroAllowed: true });
      expect(allowed).toEqual({ ok: true, value: 1 });
      expect([await leftOf(), await leftOf('roll-b')]).toEqual([-0.5, 5000]);
    });

    it('nor by two entries of one order, nor by undoing what was received', async () => {
      await received(5000);
      const twice = printed([
        { rollId: 'roll-a', offMm: 3000 },
        { rollId: 'roll-a', offMm: 2001 },
      ]);
      expect(codeOf(await archive.stock.enterPrinted(twice))).toBe('stock-below-zero');
      await archive.stock.move(off(1), entry);
      const [first] = await archive.stock.ledger('roll-a');
      expect(codeOf(await archive.stock.undo(first!.id, '', entry))).toBe('stock-below-zero');
      expect(await leftOf()).toBe(4999);
    });

    it('but film that comes back is always taken, and a roll that is used up counts as none left', async () => {
      await received(5000);
      await archive.stock.move(off(7000), { ...entry, isBelowZeroAllowed: true });
      const counted = { rollId: 'roll-a', kind: 'corrected', length: { countedMm: 0 }, note: '' } as const;
      expect((await archive.stock.move(counted, entry)).ok).toBe(true);
      expect(await leftOf()).toBe(0);
    });
  });

  describe('a wrong entry is undone once, by a counter-entry that stays beside it', () => {
    it('and a counter-entry itself is not undone', async () => {
      await received(5000);
      await archive.stock.move(off(1200), entry);
      const wrong = (await archive.stock.ledger('roll-a')).at(-1)!;
      const undone = await archive.stock.undo(wrong.id, 'it was R-0002', entry);
      expect(undone).toMatchObject({ value: { leftMm: 5000, isPartial: false } });
      expect(codeOf(await archive.stock.undo(wrong.id, '', entry))).toBe('stock-movement-undone');
      const ledger = await archive.stock.ledger('roll-a');
      const counter = ledger.at(-1)!;
      expect(counter).toMatchObject({
        kind: 'undone',
        deltaMm: 1200,
        undoes: wrong.id,
        note: 'it was R-0002',
      });
      expect(ledger[1]).toMatchObject({ kind: 'scrapped', undoneBy: counter.id });
      expect(codeOf(await archive.stock.undo(counter.id, '', entry))).toBe('stock-movement-fixed');
      expect(codeOf(await archive.stock.undo(999, '', entry))).toBe('stock-movement-unknown');
    });
  });

  describe('an output is entered as printed once, and again only as a further print', () => {
    it('with the lots of its panels, which follow what is undone and corrected', async () => {
      await received(20_000);
      await received(20_000, { rollNumber: '13', lotNumber: '7750' }, 'roll-b');
      await received(
        50_000,
        { use: 'laminate', material: 'Gloss laminate', lotNumber: 'L-9', rollNumber: '4' },
        'lam',
      );
      await keepOutput();
      const rolls = printed([
        { rollId: 'roll-a', offMm: 3000, panelLabels: ['LH-01'] },
        { rollId: 'roll-b', offMm: 2500, panelLabels: ['LH-02'] },
        { rollId: 'lam', offMm: 7000, kind: 'laminated' },
      ]);
      expect(await archive.stock.enterPrinted(rolls)).toEqual({ ok: true, value: 1 });
      expect(codeOf(await archive.stock.enterPrinted(rolls))).toBe('stock-printed-already');
      expect(await leftOf()).toBe(17_000);
      expect(await archive.stock.enterPrinted({ ...rolls, isFurtherPrint: true })).toEqual({
        ok: true,
        value: 2,
      });
      expect(await archive.stock.printings('small-job', 1)).toBe(2);
      expect(await lotsText('printed')).toBe('LH-01: lot 7741, roll 12; LH-02: lot 7750, roll 13');
      expect(await lotsText('laminated')).toBe('lot L-9, roll 4');
      await archive.stock.change('roll-b', facts({ lotNumber: '7741', rollNumber: '14' }), entry);
      expect(await lotsText('printed')).toBe('LH-01: lot 7741, roll 12; LH-02: lot 7741, roll 14');
      expect((await archive.stock.ledger('roll-b')).at(-1)).toMatchObject({
        kind: 'changed',
        note: 'lot number 7741 instead of 7750; roll number 14 instead of 13',
      });
      for (const id of ['roll-a', 'roll-b', 'lam'])
        for (const { id: movement, kind } of await archive.stock.ledger(id))
          if (kind === 'printed' || kind === 'laminated') await archive.stock.undo(movement, '', entry);
      expect(await archive.stock.printings('small-job', 1)).toBe(0);
      expect(await lotsText('printed')).toBeUndefined();
      expect(await archive.stock.enterPrinted(rolls)).toEqual({ ok: true, value: 3 });
    });
  });

  async function keepOutput(): Promise<void> {
    const job = smallJob();
    await archive.jobs.save(job, { panelLabels: ['LH-01', 'LH-02'], now: entry.at });
    await archive.outputs.keep({
      jobId: job.id,
      kind: 'output',
      reason: '',
      at: entry.at,
      programVersion: '1',
      document: jobToJson(job),
      artworkSha256: 'a'.repeat(64),
      folder: 'x',
      files: [],
    });
  }

  async function lotsText(kind: 'printed' | 'laminated'): Promise<string | undefined> {
    const output = await archive.outputs.findNumbered('SJ-7', 1);
    const record = recordWithLots(undefined, output.ok ? output.value.usedRolls : [], [
      { filmId: FIRST_FILM_ID, panelLabels: ['LH-01', 'LH-02'], unitNumbers: [] },
    ]);
    return record?.[kind === 'printed' ? 'filmLot' : 'laminateLot'];
  }

  it('a roll is known by the code on its label, however it is typed, and is on the shelf once', async () => {
    const roll = await received(5000);
    for (const code of ['R-0001', 'r1', ' r-1 ']) {
      expect(await archive.stock.find(code)).toEqual({ ok: true, value: roll });
    }
    expect(codeOf(await archive.stock.find('R-0002'))).toBe('stock-roll-unknown');
    const again = await archive.stock.receive('x', facts({ material: ' cast  PRINT film' }), 9, entry);
    expect(again).toMatchObject({
      problem: {
        code: 'stock-roll-there',
        message: 'The shelf has Cast print film, lot 7741, roll 12 already, as R-0001.',
      },
    });
    await received(7000, { rollNumber: '13' }, 'roll-b');
    expect(codeOf(await archive.stock.change('roll-b', facts(), entry))).toBe('stock-roll-there');
  });

  it('entries that two programs make at the same time are all kept, and never take a roll below zero', async () => {
    await received(10_000);
    const other = await testArchive(place);
    const entries = Array.from({ length: 24 }, (_, index) =>
      (index % 2 ? archive : other).stock.move(off(450), entry),
    );
    const outcomes = await Promise.all(entries);
    await other.close();
    // 22 times 450 are 9,900.
    expect(outcomes.filter(({ ok }) => ok)).toHaveLength(22);
    expect(await archive.stock.ledger('roll-a')).toHaveLength(23);
    expect(await leftOf()).toBe(100);
  });

  it('rolls and ledgers outlive the jobs that they name, and go into backups', async () => {
    await received(10_000);
    await keepOutput();
    await archive.stock.enterPrinted(printed([{ rollId: 'roll-a', offMm: 3333 }]));
    const ledger = await archive.stock.ledger('roll-a');
    expect((await archive.deletions.deleteJobs(['small-job'], Date.parse(entry.at))).ok).toBe(true);
    expect(await archive.stock.ledger('roll-a')).toEqual(ledger);
    const tools = { signal: new AbortController().signal, report: () => undefined };
    expect((await archive.checks.backUp(join(folder, 'backup'), tools)).ok).toBe(true);
    const backup = await testArchive(join(folder, 'backup'));
    expect(await backup.stock.ledger('roll-a')).toEqual(ledger);
    expect(await backup.stock.rolls()).toEqual(await archive.stock.rolls());
    await backup.close();
  });
});
