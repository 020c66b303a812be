import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { MOST_PHOTO_BYTES } from '../../../core/photos/photo.ts';
import type { Services } from '../../../main/services/services.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
const at = (name: string) => join(folder, name);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-notes-'));
  services = await testServices(at('archive'));
  client = new ServiceClient(services);
  await client.reply('job:save', { job: smallJob({ id: 'a' }), baseRevision: 0 });
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

/** A PNG of 47 × 31 pixels that names its owner; it is never drawn here. */
function photoFile(name: string): string {
  const chunk = (kind: string, content: Buffer) => {
    const head = Buffer.alloc(4);
    head.writeUInt32BE(content.length);
    return Buffer.concat([head, Buffer.from(kind), content, Buffer.alloc(4)]);
  };
  const header = Buffer.from([0, 0, 0, 47, 0, 0, 0, 31, 8, 2, 0, 0, 0]);
  const parts = [
    chunk('IHDR', header),
    chunk('tEXt', Buffer.from('Author\0Owner')),
    chunk('IDAT', Buffer.from('d')),
  ];
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  writeFileSync(at(name), Buffer.concat([signature, ...parts, chunk('IEND', Buffer.alloc(0))]));
  return at(name);
}

const note = { jobId: 'a', panelId: 'p1', panelLabel: 'LH-01', text: 'Rivet under the edge', by: 'Ada' };

it('a note keeps what was said at a panel, with photos that tell nothing of their owner', async () => {
  const kept = await client.reply('note:keep', note);
  expect(kept).toMatchObject({ panelLabel: 'LH-01', text: 'Rivet under the edge', by: 'Ada', photos: [] });
  const file = client.chosenFile(photoFile('edge.png'));
  const withPhoto = await client.reply('note:add-photo', { noteId: kept.id, file });
  const [photo] = withPhoto.photos;
  expect(photo).toMatchObject({ fileName: 'edge.png', mediaType: 'image/png', widthPx: 47, heightPx: 31 });
  const shown = (await client.reply('photo:read', { sha256: photo!.sha256 }))!;
  expect(Buffer.from(shown.bytes).includes('Owner')).toBe(false);
  expect(shown.bytes).toHaveLength(photo!.sizeBytes);
  // The same again is the same photo.
  expect(await client.reply('note:add-photo', { noteId: kept.id, file })).toEqual(withPhoto);
  expect(await client.reply('note:list', { jobId: 'a' })).toEqual([withPhoto]);
  expect(await services.archive.checks.keptFiles()).toContainEqual({
    sha256: photo!.sha256,
    name: 'photo edge.png of LH-01 of job SJ-7',
  });
  await client.reply('note:remove', { noteId: kept.id });
  expect(await client.reply('note:list', { jobId: 'a' })).toEqual([]);
  // A request for a photo gives no other file of the vault.
  writeFileSync(at('other'), 'no photo');
  const { sha256 } = await services.archive.vault.add(at('other'));
  for (const other of [sha256, 'f'.repeat(64)])
    expect(await client.reply('photo:read', { sha256: other })).toBeNull();
});

it('a photo that is too large, or none, is refused with one sentence, and the note stays', async () => {
  const { id: noteId } = await client.reply('note:keep', note);
  writeFileSync(at('huge.jpg'), '');
  truncateSync(at('huge.jpg'), MOST_PHOTO_BYTES + 1);
  const huge = await client.ask('note:add-photo', { noteId, file: client.chosenFile(at('huge.jpg')) });
  expect(huge).toMatchObject({ ok: false, problem: { code: 'photo-too-large' } });
  expect(!huge.ok && huge.problem.message).toBe('huge.jpg has 81 MB; a photo may have at most 80 MB.');
  // A PNG of which its head alone says 15,000 × 8,000.
  const head = Buffer.from('\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x3a\x98\0\0\x1f\x40\x08\x02\0\0\0', 'latin1');
  const end = Buffer.from('\0\0\0\0\0\0\0\0IEND\0\0\0\0', 'latin1');
  writeFileSync(at('vast.png'), Buffer.concat([head, end]));
  const vast = await client.ask('note:add-photo', { noteId, file: client.chosenFile(at('vast.png')) });
  expect(!vast.ok && vast.problem.message).toBe('vast.png has 120 megapixels; a photo may have at most 100.');
  writeFileSync(at('text.jpg'), 'no picture');
  const text = await client.ask('note:add-photo', { noteId, file: client.chosenFile(at('text.jpg')) });
  expect(text).toMatchObject({ ok: false, problem: { code: 'photo-unreadable' } });
  // The first box of a HEIC file names its brand (ISO/IEC 14496-12, 4.3).
  writeFileSync(at('phone.heic'), Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1'));
  const heic = await client.ask('note:add-photo', { noteId, file: client.chosenFile(at('phone.heic')) });
  expect(heic).toMatchObject({ ok: false, problem: { code: 'photo-heic' } });
  expect((await client.reply('note:list', { jobId: 'a' }))[0]).toMatchObject({ id: noteId, photos: [] });
});

it('a photo of a side is kept, named, and goes with its job to another archive', async () => {
  const file = client.chosenFile(photoFile('driver-side.png'));
  const photo = await client.reply('photo:keep', { file });
  const { job, revision } = await client.reply('job:open', { id: 'a' });
  const points = [
    [0, 0],
    [40, 0],
    [40, 30],
    [0, 30],
  ].map(([x, y]) => ({
    xPx: x!,
    yPx: y!,
    xMm: x! * 100,
    yMm: y! * 100,
  }));
  const [first, ...others] = job.sides;
  const sides = [{ ...first!, photo: { ...photo, points, straightLines: [], isSquareOn: false } }, ...others];
  await client.reply('job:save', { job: { ...job, sides }, baseRevision: revision });
  expect(await services.archive.checks.keptFiles()).toContainEqual({
    sha256: photo.sha256,
    name: `photo driver-side.png of side ${first!.code} of job SJ-7`,
  });
  const { fileName } = await client.reply('job:export', { id: 'a', folder: client.chosenFolder(folder) });
  await client.reply('job:delete', { ids: ['a'] });
  rmSync(await services.archive.vault.path(photo.sha256));
  expect(await client.reply('photo:read', { sha256: photo.sha256 })).toBeNull();
  await client.reply('job:import', { file: client.chosenFile(at(fileName)) });
  expect(await client.reply('photo:read', { sha256: photo.sha256 })).not.toBeNull();
  const again = await client.reply('job:open', { id: 'a' });
  expect(again.job.sides[0]!.photo).toEqual(sides[0]!.photo);
});

it('the template of a side is kept, read, and goes with its job to another archive', async () => {
  writeFileSync(
    at('van.pdf'),
    rawPdf({ page: '/MediaBox [0 0 700 300]', content: '0 0 1 RG 20 40 m 520 90 l S 10 10 80 60 re f' }),
  );
  const chosen = client.chosenFile(at('van.pdf'));
  const { reference } = await client.reply('artwork:import', { file: chosen, box: 'crop' });
  const read = await client.reply('artwork:outlines', { reference, page: 1 });
  expect(read).toMatchObject({ pages: 1, count: 2, layers: [] });
  expect(read.outlines.map(({ color, isClosed }) => [color, isClosed])).toEqual([
    ['#0000ff', false],
    ['#000000', true],
  ]);
  // 20 and 520 points across, 40 and 90 from below on a page of 300.
  const mm = 25.4 / 72;
  const [x0, y0, x1, y1] = read.outlines[0]!.points.map((value) => Math.round((value / mm) * 1e6) / 1e6);
  expect([x0, y0, x1, y1]).toEqual([20, 260, 520, 210]);
  const missing = await client.ask('artwork:outlines', { reference, page: 4 });
  expect(missing).toMatchObject({ ok: false, problem: { code: 'pdf-page-missing' } });

  const { job, revision } = await client.reply('job:open', { id: 'a' });
  const [first, ...others] = job.sides;
  const sides = [{ ...first!, template: { file: reference, page: 1 } }, ...others];
  await client.reply('job:save', { job: { ...job, sides }, baseRevision: revision });
  expect(await services.archive.checks.keptFiles()).toContainEqual({
    sha256: reference.sha256,
    name: `template van.pdf of side ${first!.code} of job SJ-7`,
  });
  const { fileName } = await client.reply('job:export', { id: 'a', folder: client.chosenFolder(folder) });
  await client.reply('job:delete', { ids: ['a'] });
  rmSync(await services.archive.vault.path(reference.sha256));
  await client.reply('job:import', { file: client.chosenFile(at(fileName)) });
  expect(await services.archive.vault.state(reference.sha256)).toBe('sound');
  const again = await client.reply('job:open', { id: 'a' });
  expect(again.job.sides[0]!.template).toEqual({ file: reference, page: 1 });
});

it('notes go with their job: into a job file, and away when it is deleted', async () => {
  const { id: noteId } = await client.reply('note:keep', note);
  await client.reply('note:add-photo', { noteId, file: client.chosenFile(photoFile('edge.png')) });
  const [kept] = await client.reply('note:list', { jobId: 'a' });
  const { fileName } = await client.reply('job:export', { id: 'a', folder: client.chosenFolder(folder) });
  const file = client.chosenFile(at(fileName));
  const choice = { kind: 'keep-both', number: 'SJ-8' } as const;
  const copy = await client.reply('job:import', { file, choice });
  const copyId = copy.state === 'imported' ? copy.job.id : '';
  const [copied] = await client.reply('note:list', { jobId: copyId });
  expect(copied).toEqual({ ...kept, id: copied!.id });
  expect(copied!.id).not.toBe(kept!.id);
  expect(await client.reply('note:list', { jobId: 'a' })).toEqual([kept]);
  await client.reply('job:import', { file, choice: { kind: 'replace' } });
  expect(await client.reply('note:list', { jobId: 'a' })).toEqual([kept]);
  await client.reply('job:delete', { ids: ['a'] });
  expect(await client.reply('note:list', { jobId: 'a' })).toEqual([]);
  expect(await client.reply('photo:read', { sha256: kept!.photos[0]!.sha256 })).not.toBeNull();
});
