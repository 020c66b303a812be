import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-stock-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const done = async (...args: string[]) => {
  const ended = await run(...args);
  expect(ended.err).toBe('');
  expect(ended.code).toBe(EXIT.done);
  return ended.out.trimEnd();
};

const receive = (material: string, lot: string, roll: string, length: string, ...more: string[]) =>
  done(
    ...['stock-receive', '--material', material, '--lot', lot, '--roll', roll, '--width', '1524'],
    ...['--length', length, ...more],
  );

async function pdfWords(path: string): Promise<string> {
  const document = await getDocument({ data: new Uint8Array(readFileSync(path)) }).promise;
  const pages: string[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const { items } = await (await document.getPage(number)).getTextContent();
    pages.push(items.flatMap((item) => ('str' in item ? item.str : [])).join(' '));
  }
  await document.loadingTask.destroy();
  return pages.join(' ');
}

it('receives, scraps, corrects and undoes, and lists what is left', async () => {
  expect(await receive('Cast print film', '7741', '12', '45.72 m', '--place', 'Rack B')).toBe(
    'R-0001, film, Cast print film, lot 7741, roll 12, 1524 mm wide, 45.72 m left, as received, Rack B',
  );
  await receive('Gloss laminate', '', '3', '30 m', '--use', 'laminate', '--use-by', '2026-12-31');
  await done('stock-scrap', 'r1', '--length', '1.2 m', '--note', 'crease', '--by', 'Ada');
  await done('stock-undo', '3', '--note', 'it was another roll');
  await done('stock-correct', 'R-0001', '--left', '40 m');
  const ledger = JSON.parse(await done('--json', 'stock-ledger', 'R-0001'));
  expect(ledger.roll).toMatchObject({ leftMm: 40_000, isPartial: true });
  expect(ledger.movements).toMatchObject([
    { kind: 'received', deltaMm: 45_720 },
    { kind: 'scrapped', deltaMm: -1200, by: 'Ada', note: 'crease', undoneBy: 4 },
    { kind: 'undone', deltaMm: 1200, undoes: 3 },
    { kind: 'corrected', deltaMm: -5720 },
  ]);
  expect(await done('stock', '--use', 'laminate')).toContain(
    'lot not known  roll 3  1524 mm wide  30 m left',
  );
  expect(await done('stock', '--lot', '7741', '--width', '1524')).toMatch(/^R-0001 .*40 m left {2}partial/);
  expect(await done('stock', '--width', '54 in')).toBe('The shelf has no such roll.');
});

it('puts right what is known of a roll, and the ledger says what it was', async () => {
  await receive('Cast print film', '7741', '12', '45.72 m', '--place', 'Rack B', '--use-by', '2027-03-31');
  expect(await done('stock-change', 'R-0001', '--lot', '7714', '--width', '54 in', '--by', 'Ada')).toBe(
    'R-0001, film, Cast print film, lot 7714, roll 12, 1371.6 mm wide, 45.72 m left, as received, Rack B',
  );
  await done('stock-change', 'R-0001', '--use-by', '', '--place', 'Rack C');
  const { roll, movements } = JSON.parse(await done('--json', 'stock-ledger', 'R-0001'));
  expect(roll).toMatchObject({
    lotNumber: '7714',
    rollNumber: '12',
    widthMm: 1371.6,
    place: 'Rack C',
    leftMm: 45_720,
  });
  expect(roll).not.toHaveProperty('useBy');
  expect(movements.map(({ kind, deltaMm }: { kind: string; deltaMm: number }) => [kind, deltaMm])).toEqual([
    ['received', 45_720],
    ['changed', 0],
    ['changed', 0],
  ]);
  expect(movements[1]).toMatchObject({ by: 'Ada' });
  expect((await run('stock-change', 'R-0001', '--roll', ' ')).err).toContain('This roll cannot be kept');
  expect((await run('stock-change', 'R-0009', '--lot', '1')).err).toContain('The shelf has no roll R-0009.');
});

it('says in one sentence what is wrong, and keeps nothing of it', async () => {
  await receive('Cast print film', '7741', '12', '5 m');
  const wrong = async (...args: string[]) => (await run(...args)).err.trimEnd();
  const roll = ['--lot', '9', '--roll', '2', '--width', '1524'] as const;
  expect(await wrong('stock-ledger', 'R-0009')).toContain('The shelf has no roll R-0009.');
  expect(
    await wrong('stock-receive', '--material', 'Cast', ...roll, '--length', '9 m', '--use-by', '1999-01-31'),
  ).toContain('The roll would be past its use by date, 1999-01-31, before it was received');
  expect(
    await wrong(
      'stock-receive',
      '--material',
      'Cast',
      ...roll,
      '--length',
      '9 m',
      '--received',
      '2999-01-31',
    ),
  ).toContain('2999-01-31 has not come yet');
  expect(await wrong('stock-receive', '--material', ' ', ...roll, '--length', '9 m')).toContain(
    'material must have at least 1 character',
  );
  expect(await wrong('stock-receive', '--material', 'Cast', ...roll, '--length', '0')).toContain(
    'A roll comes in with film on it.',
  );
  const short = await run('stock-scrap', 'R-0001', '--length', '5.5 m');
  expect(short).toMatchObject({
    code: EXIT.archive,
    err: 'This takes 5500 mm off R-0001, which has 5 m left. Measure what is left and correct the roll, or confirm that it comes out below zero.\n',
  });
  expect(await done('stock-scrap', 'R-0001', '--length', '5.5 m', '--below-zero')).toContain('-0.5 m left');
  expect(await done('stock')).not.toContain('\n');
});

it('takes a printed output off its rolls, and its reprint names their lots', async () => {
  writeFileSync(at('art.pdf'), await smallArtwork());
  const laminate = { name: 'Gloss laminate', kind: 'cast', finish: 'gloss', lotNumber: '' } as const;
  const job = smallJob({ laminate, production: DEFAULT_PRODUCTION });
  writeFileSync(at('job.json'), jobToJson(job));
  await done(...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none']);
  await receive('Cast print film', '7741', '12', '20 m');
  await receive('Gloss laminate', 'L-9', '4', '6 m', '--use', 'laminate');
  const none = await run('printed', 'SJ-7', '1');
  expect(none.err).toMatch(/^No roll is named for \d+ mm of .* \(LH-0\d, LH-0\d\), rolls 1524 mm wide\./);
  const rolls = ['--roll', 'R-0001', '--laminate', 'r2="5.2 m"', '--used-up', 'R-0002'].map((text) =>
    text.replaceAll('"', ''),
  );
  expect((await run('printed', 'SJ-7', '1', '--roll', 'R-0002', '--laminate', 'R-0001')).err).toContain(
    'R-0002, Gloss laminate, is laminate: no panel was printed on it.',
  );
  const out = await done('printed', 'SJ-7', '1', ...rolls, '--off-printer', '2026-11-20 13:00');
  expect(out).toMatch(/^R-0001 Cast print film: (\d+) mm off, [\d.]+ m left; LH-0\d, LH-0\d\nR-0002 Gloss/);
  const planned = Number(/: (\d+) mm off/.exec(out)![1]);
  const film = JSON.parse(await done('--json', 'stock-ledger', 'R-0001'));
  expect(film.roll.leftMm).toBeCloseTo(20_000 - planned, 0);
  const lam = JSON.parse(await done('--json', 'stock-ledger', 'R-0002'));
  expect(lam.movements).toMatchObject([
    { deltaMm: 6000 },
    { kind: 'laminated', deltaMm: -5200, output: { jobNumber: 'SJ-7', number: 1, printing: 1 } },
    { kind: 'corrected', deltaMm: -800, note: 'Used up' },
  ]);
  expect((await run('printed', 'SJ-7', '1', ...rolls)).err).toContain('was entered as printed already');
  await receive('Gloss laminate', 'L-10', '1', '30 m', '--use', 'laminate');
  await done('printed', 'SJ-7', '1', '--again', '--roll', 'R-0001', '--laminate', 'R-0003');
  const [output] = JSON.parse(await done('--json', 'history', 'SJ-7'));
  expect(output).toMatchObject({
    record: { offPrinter: '2026-11-20 13:00' },
    usedRolls: [
      { kind: 'printed', lotNumber: '7741', rollNumber: '12', printing: 1 },
      { kind: 'laminated', lotNumber: 'L-9', printing: 1 },
      { kind: 'printed', lotNumber: '7741', printing: 2 },
      { kind: 'laminated', lotNumber: 'L-10', printing: 2 },
    ],
  });
  expect(output.usedRolls[0].panelLabels.toSorted()).toEqual(['LH-01', 'LH-02']);
  const { folder: reprint } = JSON.parse(
    await done(
      ...['--json', 'reprint', 'SJ-7', '1', '--panels', 'LH-02', '--reason', 'dented', '--to', at('again')],
      ...['--sheets', 'ticket'],
    ),
  );
  const texts = await pdfWords(join(reprint, 'SJ-7_ticket.pdf'));
  expect(texts).toContain('lot 7741, roll 12');
  expect(texts).toContain('lot L-9, roll 4; lot L-10, roll 1');
});

it('STK10 enters a fleet that prints set by set by its vehicles, and asks about what is entered twice', async () => {
  writeFileSync(at('art.pdf'), await smallArtwork());
  const units = ['BM-07', 'BM 08, old'].map((unitNumber) => ({ unitNumber, licensePlate: '' }));
  const job = smallJob({
    vehicles: [{ id: 'v1', kind: 'van', units }],
    production: { ...DEFAULT_PRODUCTION, fleetOrder: 'set-by-set' },
  });
  writeFileSync(at('job.json'), jobToJson(job));
  await done(...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none']);
  await receive('Cast print film', '7741', '12', '60 m');
  const out = await done('printed', 'SJ-7', '1', '--roll', 'R-0001');
  for (const print of ['LH-01 · BM-07', 'LH-02 · BM-07', 'LH-01 · BM 08, old', 'LH-02 · BM 08, old'])
    expect(out).toContain(print);
  const again = await run('printed', 'SJ-7', '1', '--roll', 'R-0001');
  expect(again.err).toContain('Output 1 was entered as printed already, of this LH-0');
  expect(JSON.parse(await done('--json', 'stock-ledger', 'R-0001')).movements).toHaveLength(2);
});

it('enters several films of a job, the laminate of that which has one, and the prints of a patch and a reprint', async () => {
  writeFileSync(at('art.pdf'), await smallArtwork());
  const plain = smallJob({ production: DEFAULT_PRODUCTION });
  const [side] = plain.sides;
  const laminate = { name: 'Gloss laminate', kind: 'cast', finish: 'gloss', lotNumber: '' } as const;
  const film = { ...plain.film, name: 'Flat film' };
  const second = { id: 'flat', film, laminate, printer: plain.printer };
  const layout = side!.layout.kind === 'split' ? side!.layout : undefined;
  const parts = layout!.parts.map((part) =>
    part.kind === 'panel' && part.id === 'p2' ? { ...part, filmId: 'flat' } : part,
  );
  const job = { ...plain, otherFilms: [second], sides: [{ ...side!, layout: { ...layout!, parts } }] };
  writeFileSync(at('job.json'), jobToJson(job));
  const cut = await run(
    ...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none'],
  );
  expect(cut.err).toBe('');
  await receive('Cast print film', '7741', '12', '20 m');
  await receive('Flat film', '88', '3', '20 m');
  await receive('Gloss laminate', 'L-9', '4', '20 m', '--use', 'laminate');
  // Of the first film nothing is laminated: the one roll of laminate is that of the second.
  const rolls = ['--roll', 'R-0001', '--roll', 'R-0002', '--laminate', 'R-0003'];
  const twice = await run(
    'printed',
    'SJ-7',
    '1',
    '--roll',
    'R-0002',
    '--roll',
    'R-0002',
    '--laminate',
    'R-0003',
  );
  expect(twice.err).toContain('R-0002 is entered 2 times as a roll that was printed on.');
  const out = await done('printed', 'SJ-7', '1', ...rolls);
  expect(out).toMatch(/^R-0001 Cast print film: .*; LH-0\d\nR-0002 Flat film: .*; LH-0\d\nR-0003 Gloss/);
  expect((await run('printed', 'SJ-7', '1', ...rolls, '--laminate', 'R-0003')).err).toContain(
    'More rolls of laminate are named than the output takes: 1.',
  );
  await done(
    ...[
      'patch',
      'SJ-7',
      '1',
      '--panel',
      'LH-02',
      '--damage',
      '2000,500,90,70',
      '--reason',
      'torn',
      '--to',
      at('p'),
    ],
  );
  await done(
    ...[
      'reprint',
      'SJ-7',
      '1',
      '--panels',
      'LH-02',
      '--reason',
      'dented',
      '--to',
      at('again'),
      '--sheets',
      'none',
    ],
  );
  const ticketOf = async (output: string) =>
    await pdfWords(
      JSON.parse(await done('--json', 'record', 'SJ-7', output, '--ticket', at('tickets'))).ticket,
    );
  mkdirSync(at('tickets'));
  const first = await ticketOf('1');
  for (const lot of ['lot 7741, roll 12', 'lot 88, roll 3', 'lot L-9, roll 4']) expect(first).toContain(lot);
  // A patch was a part of its panel when that was printed.
  const ofPatch = await ticketOf('2');
  expect(ofPatch).toContain('lot 88, roll 3');
  expect(ofPatch).not.toContain('lot 7741');
  for (const [output, label] of [
    ['2', 'LH-02 patch 1'],
    ['3', 'LH-02'],
  ] as const) {
    const printed = await done('printed', 'SJ-7', output, '--roll', 'R-0002', '--laminate', 'R-0003');
    expect(printed).toContain(`; ${label}\n`);
  }
});
