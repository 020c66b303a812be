/** The fill list on the command line: typed pieces, and a patch that waits in the archive and prints in a strip. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { Manifest } from '../../../core/output/manifest.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import {
  colorCount,
  type Picture,
  pictureCropped,
  pictureTurnedClockwise,
  pixelsBeyondEdges,
} from '../../support/picture.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { popplerPicture } from '../../support/tool-renderers.ts';
import { describeWithTools } from '../../support/tools.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const done = async (...args: string[]) => {
  const ended = await run(...args);
  expect(ended.err).toBe('');
  expect(ended.code, ended.out).toBe(EXIT.done);
  return ended.out;
};

const job = (files: 'panels' | 'strips'): Job => {
  const small = smallJob();
  return {
    ...small,
    printer: { ...small.printer, rollWidthMm: 1800 },
    output: { ...small.output, files },
  };
};

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-fill-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(job('panels')));
});
afterEach(() => rmSync(folder, { recursive: true }));

const outputFolder = (number: number): string => {
  const name = readdirSync(at('out', 'SJ-7')).find(
    (each) => Number(/^output-(\d+)/.exec(each)?.[1]) === number,
  )!;
  return at('out', 'SJ-7', name);
};
const manifestOf = (number: number): Manifest =>
  Manifest.parse(JSON.parse(readFileSync(join(outputFolder(number), 'manifest.json'), 'utf8')));
const cut = (...more: string[]) =>
  done(
    'cut',
    at('job.json'),
    '--artwork',
    at('art.pdf'),
    '--to',
    at('out'),
    '--sheets',
    'none',
    '--no-verification',
    ...more,
  );
const patch = () =>
  done(
    ...['patch', 'SJ-7', '1', '--panel', 'LH-01', '--damage', '300, 120, 60, 40', '--reason', 'scraped'],
    ...['--to', at('out')],
  );

it('FL2 pieces are typed, listed by need with their places, and taken off', async () => {
  const typed = await done(
    ...['fill', at('job.json'), '--add', 'Spare strip', '--size', '1200 x 90', '--kind', 'spare-strip'],
  );
  expect(typed).toContain('Waste beside the panels');
  const all = await done(
    ...['fill', at('job.json'), '--add', 'Unit number', '--size', '10 cm × 5 cm', '--kind', 'unit-number'],
    '--each-vehicle',
  );
  expect(all.indexOf(`Unit number ${smallJob().vehicles[0]!.units[0]!.unitNumber}`)).toBeGreaterThan(0);
  expect(all.indexOf('Unit number')).toBeLessThan(all.indexOf('Spare strip'));
  const { list, placed } = JSON.parse(await done('--json', 'fill', at('job.json')));
  expect(list).toHaveLength(2);
  expect(placed).toHaveLength(2);
  await done('fill', at('job.json'), '--remove', 'spare strip');
  expect(JSON.parse(readFileSync(at('job.json'), 'utf8')).production.fill).toHaveLength(1);
});

it('FL2 says in one sentence what cannot be on the list, and changes nothing', async () => {
  const before = readFileSync(at('job.json'), 'utf8');
  const wrong = async (...args: string[]) => (await run('fill', at('job.json'), ...args)).err;
  expect(await wrong('--add', 'Logo')).toContain('What is added needs its size on the roll.');
  expect(await wrong('--add', 'Logo', '--size', '300')).toContain('“300” is no width and height.');
  expect(await wrong('--add', 'Logo', '--size', '300 x 20 m')).toContain('a size below 10 m');
  expect(await wrong('--take', 'X-1 LH-02')).toContain(
    'The archive has nothing that waits called X-1 LH-02.',
  );
  expect(await wrong('--remove', 'Logo')).toContain('The fill list has no Logo.');
  expect(await wrong('--film', 'C')).toContain('The job has no film C.');
  expect(readFileSync(at('job.json'), 'utf8')).toBe(before);
});

it('a patch that waits prints beside the panels of the next output, and waits no more once that is entered', async () => {
  await cut();
  await patch();
  const panels = ({ files }: Manifest) => files.filter(({ kind }) => kind === 'panel');
  const { waiting } = JSON.parse(await done('--json', 'fill', at('job.json')));
  expect(waiting).toMatchObject([{ label: 'SJ-7 LH-01 patch 1', kind: 'patch', need: 'now', fits: true }]);
  await done('fill', at('job.json'), '--take', 'sj-7 lh-01 patch 1');
  const saved = await run('save', at('job.json'), '--artwork', at('art.pdf'), '--replace');
  expect(saved.code).toBe(EXIT.done);
  await cut();
  const manifest = manifestOf(3);
  expect(panels(manifest).map(({ sha256 }) => sha256)).toEqual(
    panels(manifestOf(1)).map(({ sha256 }) => sha256),
  );
  expect(manifest.fill).toMatchObject([
    {
      label: 'SJ-7 LH-01 patch 1',
      kind: 'patch',
      of: { jobNumber: 'SJ-7', output: 2, label: 'LH-01 patch 1' },
    },
  ]);
  const [piece] = manifest.fill!;
  const patchHash = manifestOf(2).files.find(({ kind }) => kind === 'panel')!.sha256;
  expect(manifest.files).toContainEqual(
    expect.objectContaining({ file: piece!.file, kind: 'fill', sha256: patchHash }),
  );
  expect(
    readFileSync(join(outputFolder(3), piece!.file!))
      .subarray(0, 5)
      .toString(),
  ).toBe('%PDF-');
  // Neither a reprint nor a choice of panels has anything beside it.
  await cut('--panels', 'LH-02');
  expect(manifestOf(4).fill).toBeUndefined();

  await done(
    ...['stock-receive', '--material', 'Cast', '--lot', '7741', '--roll', '12', '--width', '1800'],
    ...['--length', '40 m', '--use', 'film'],
  );
  await done(
    ...['stock-receive', '--material', 'Over', '--lot', 'L2', '--roll', '3', '--width', '1800'],
    ...['--length', '40 m', '--use', 'laminate'],
  );
  const left = async () => JSON.parse(await done('--json', 'stock-ledger', 'R-0001'));
  const laminated = smallJob().laminate ? ['--laminate', 'R-0002'] : [];
  await done('printed', 'SJ-7', '3', '--roll', 'R-0001', ...laminated);
  const { movements } = await left();
  expect(movements).toMatchObject([
    { kind: 'received' },
    { kind: 'printed', output: { number: 3 } },
    { kind: 'printed', deltaMm: 0, output: { number: 2, panelLabels: ['LH-01 patch 1'] } },
  ]);
  const history = JSON.parse(await done('--json', 'history', 'SJ-7'));
  expect(history.find(({ number }: { number: number }) => number === 2).usedRolls[0]).toMatchObject({
    kind: 'printed',
    lotNumber: '7741',
  });
  expect(JSON.parse(await done('--json', 'fill', at('job.json'))).waiting).toEqual([]);
});

it('a file that the archive has lost is said, and nothing is written', async () => {
  await cut();
  await patch();
  await done('fill', at('job.json'), '--take', 'SJ-7 LH-01 patch 1');
  const { production } = JSON.parse(readFileSync(at('job.json'), 'utf8'));
  const { sha256 } = production.fill[0].source;
  rmSync(at('archive', 'vault', sha256.slice(0, 2), sha256), { force: true });
  const ended = await run(
    ...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none'],
  );
  expect(ended.err).toContain(
    'The file of SJ-7 LH-01 patch 1 on the fill list, from Output 2 of SJ-7, is not whole in the archive.',
  );
  expect(readdirSync(at('out', 'SJ-7')).some((name) => name.startsWith('output-3'))).toBe(false);
});

describeWithTools(['pdftoppm'], 'the fill list by another program', () => {
  it('FL5 a patch of the same artwork stands in its strip pixel by pixel as in its own file', async () => {
    await cut();
    await patch();
    await done('fill', at('job.json'), '--take', 'SJ-7 LH-01 patch 1');
    await done('fill', at('job.json'), '--add', 'Door logo', '--size', '100 x 50', '--kind', 'door-logo');
    await cut('--files', 'strips');
    const manifest = manifestOf(3);
    const [piece, logo] = manifest.fill!;
    expect(logo).not.toHaveProperty('strip');
    expect(manifest.strips!.flatMap(({ panels }) => panels.map(({ label }) => label)).toSorted()).toEqual([
      'LH-01',
      'LH-02',
    ]);
    const strip = manifest.strips!.find(({ number }) => number === piece!.strip)!;
    const picture = (file: string) =>
      popplerPicture(readFileSync(join(outputFolder(3), file)), { ppi: 25.4 });
    const upright = picture(piece!.file!);
    const alone = piece!.turned ? pictureTurnedClockwise(upright) : upright;
    expect(colorCount(alone)).toBeGreaterThan(3);
    const { width, height } = alone;
    const leftMm = smallJob().printer.marginLeftMm;
    const place = {
      x: Math.round(piece!.xMm - leftMm),
      y: Math.round(piece!.yMm - strip.fromMm),
      width,
      height,
    };
    const onStrip = pictureCropped(picture(strip.file), place);
    // Its place is no whole number of pixels, so fine marks in the border fall otherwise.
    const otherShare = (one: Picture) => pixelsBeyondEdges(one, onStrip, { tolerance: 8 }) / (width * height);
    expect(otherShare(alone)).toBeLessThan(0.03);
    expect(otherShare(pictureTurnedClockwise(pictureTurnedClockwise(alone)))).toBeGreaterThan(
      2 * otherShare(alone),
    );
  });
});
