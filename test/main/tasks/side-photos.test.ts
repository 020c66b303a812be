import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createCanvas, loadImage } from '@napi-rs/canvas';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import type { SidePhoto } from '../../../core/vehicle/side-photo.ts';
import type { Services } from '../../../main/services/services.ts';
import { TASKS } from '../../../main/tasks/tasks.ts';
import { resultValue } from '../../support/panel-check.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

/** Red, its left quarter blue, taken with the camera turned: upright, the blue is on top (Exif orientation 6). */
function turnedPhoto(): Buffer {
  const canvas = createCanvas(80, 40);
  const paper = canvas.getContext('2d');
  paper.fillStyle = '#ff0000';
  paper.fillRect(0, 0, 80, 40);
  paper.fillStyle = '#0000ff';
  paper.fillRect(0, 0, 20, 40);
  const jpeg = canvas.toBuffer('image/jpeg');
  const tiff = Buffer.from('4d4d002a00000008000101120003000000010006000000000000', 'hex');
  const head = Buffer.from([0xff, 0xe1, 0, tiff.length + 8]);
  return Buffer.concat([jpeg.subarray(0, 2), head, Buffer.from('Exif\0\0'), tiff, jpeg.subarray(2)]);
}

describeWithTools(['pdftotext', 'pdfimages'], 'the photo of a side on the install map', () => {
  let folder: string;
  let services: Services;
  let photo: SidePhoto;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
    services = await testServices(join(folder, 'archive'));
    const client = new ServiceClient(services);
    writeFileSync(join(folder, 'side.jpg'), turnedPhoto());
    const kept = await client.reply('photo:keep', { file: client.chosenFile(join(folder, 'side.jpg')) });
    photo = { ...kept, points: [], straightLines: [], isSquareOn: false };
  });
  afterEach(async () => {
    await services.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** The map without artwork, so that the photo is its only picture. */
  async function mapOf(sidePhoto: SidePhoto, archiveFolder = services.archive.folder) {
    const { sides, ...rest } = smallJob();
    const job: Job = { ...rest, sides: [{ ...sides[0]!, photo: sidePhoto }] };
    const tools = { signal: new AbortController().signal, report: () => undefined };
    const drawn = await TASKS.sheets({ job, kinds: ['map-lines'], archiveFolder }, tools);
    const { sheets, remarks } = resultValue(drawn);
    const file = join(folder, 'map.pdf');
    writeFileSync(file, sheets[0]!.bytes);
    runTool('pdfimages', ['-png', file, join(folder, 'picture')]);
    const pictures = readdirSync(folder).filter((name) => name.startsWith('picture'));
    return { text: runTool('pdftotext', ['-raw', file, '-']).toString('utf8'), pictures, remarks };
  }

  it('stands there upright where the shop wants it, and nowhere else', async () => {
    expect(await mapOf(photo)).toMatchObject({ pictures: [], remarks: [] });
    const { text, pictures } = await mapOf({ ...photo, isOnMap: true });
    expect(text).toContain('Photo of the side, not to scale');
    expect(pictures).toHaveLength(1);
    const picture = await loadImage(readFileSync(join(folder, pictures[0]!)));
    expect([picture.width, picture.height]).toEqual([40, 80]);
    const paper = createCanvas(40, 80).getContext('2d');
    paper.drawImage(picture, 0, 0);
    const [top, foot] = [10, 60].map((y) => [...paper.getImageData(20, y, 1, 1).data.slice(0, 3)]);
    expect(top![2]).toBeGreaterThan(200);
    expect(foot![0]).toBeGreaterThan(200);
  });

  it('a photo that the archive has lost leaves a remark, and the map is written all the same', async () => {
    rmSync(await services.archive.vault.path(photo.sha256));
    const { pictures, remarks } = await mapOf({ ...photo, isOnMap: true });
    expect(pictures).toEqual([]);
    expect(remarks).toEqual([
      'The install map goes without the photo of LH: it is not in the archive, or cannot be read.',
    ]);
  });
});
