import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { coarsePictureWidth } from '../../../core/preview/coarse-picture.ts';
import { isPartial, partialPath } from '../../../main/files/atomic-write.ts';
import { PictureMaker } from '../../../main/render/picture-maker.ts';
import type { Services } from '../../../main/services/services.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
const at = (name: string) => join(folder, name);

const start = () => testServices(at('archive'));
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-preview-'));
  services = await start();
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

describe('what was seen of an artwork', () => {
  it('is shown at once in a later session, from what was kept', async () => {
    writeFileSync(at('art.pdf'), await smallArtwork());
    let client = new ServiceClient(services, 'client-1');
    const { reference, pages } = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    const { extent } = pages[0]!;
    const coarse = {
      reference,
      page: 1,
      window: extent,
      widthPx: coarsePictureWidth({ width: extent.widthMm, height: extent.heightMm }),
    };
    const first = await client.reply('artwork:picture', coarse);
    await services.close();

    services = await start();
    client = new ServiceClient(services, 'client-2');
    // Nothing can be drawn from it now: what comes has been kept.
    writeFileSync(await services.archive.vault.path(reference.sha256), 'no PDF any more');
    const renamed = { ...reference, fileName: 'called otherwise here.pdf' };
    expect(await client.reply('artwork:facts', { reference: renamed, isBrief: true })).toEqual({
      reference: renamed,
      pages,
      remarks: [],
      problems: [],
    });
    const kept = await client.reply('artwork:picture', coarse);
    expect([kept.widthPx, kept.heightPx]).toEqual([first.widthPx, first.heightPx]);
    expect(Buffer.compare(kept.png, first.png)).toBe(0);
    const sharp = { ...coarse, window: { ...extent, widthMm: 50 } };
    expect(await client.ask('artwork:picture', sharp)).toMatchObject({ ok: false });
  });

  it('is made again where the kept one is damaged or gone', async () => {
    writeFileSync(at('art.pdf'), await smallArtwork());
    const client = new ServiceClient(services, 'client-1');
    const facts = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    await services.close();
    const previews = at('archive/previews');
    for (const name of readdirSync(previews, { recursive: true, encoding: 'utf8' })) {
      if (name.endsWith('.json')) writeFileSync(join(previews, name), '{"pages":');
    }
    services = await start();
    const again = new ServiceClient(services, 'client-2');
    const { reference } = facts;
    expect(await again.reply('artwork:facts', { reference, isBrief: true })).toEqual(facts);
  });
});

describe('pictures of a file', () => {
  it('that are given up before their turn are never drawn', async () => {
    writeFileSync(at('art.pdf'), await smallArtwork());
    const maker = new PictureMaker(at('art.pdf'));
    const window = { xPt: 0, yPt: 0, widthPt: 100, heightPt: 50 };
    const abort = new AbortController();
    const drawn = maker.picture(1, window, 64);
    const given = maker.picture(1, window, 65, { signal: abort.signal });
    const last = maker.picture(1, window, 66);
    abort.abort();
    await expect(given).rejects.toThrow(/abort/i);
    expect(await drawn).toMatchObject({ ok: true, picture: { width: 64 } });
    expect(await last).toMatchObject({ ok: true, picture: { width: 66 } });
    await maker.close();
  });

  it('that take too much work fail alone; the next is drawn by a new worker', async () => {
    writeFileSync(at('art.pdf'), await smallArtwork());
    const maker = new PictureMaker(at('art.pdf'));
    const window = { xPt: 0, yPt: 0, widthPt: 100, heightPt: 50 };
    const slow = maker.picture(1, window, 64, { cpuSeconds: -1 });
    const next = maker.picture(1, window, 65);
    expect(await slow).toEqual({ ok: false, failure: 'too-slow' });
    expect(await next).toMatchObject({ ok: true, picture: { width: 65 } });
    await maker.close();
  });

  it('that a killed process left half written is gone once the program starts again', async () => {
    writeFileSync(at('art.pdf'), await smallArtwork());
    const client = new ServiceClient(services, 'client-1');
    await client.reply('artwork:import', { file: client.chosenFile(at('art.pdf')), box: 'crop' });
    const previews = () => readdirSync(at('archive/previews'), { recursive: true, encoding: 'utf8' });
    const kept = previews().find((name) => name.endsWith('.json'))!;
    const partial = partialPath(at(`archive/previews/${kept}`));
    const dead = spawnSync(process.execPath, ['-e', '']).pid;
    writeFileSync(partial.replace(`-${process.pid}-`, `-${dead}-`), 'half');
    expect(previews().filter((name) => isPartial(basename(name)))).toHaveLength(1);
    await services.close();
    services = await start();
    await expect.poll(() => previews().filter((name) => isPartial(basename(name)))).toEqual([]);
    expect(previews()).toContain(kept);
  });
});
