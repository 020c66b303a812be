/** The verification of an output as people meet it: on the command line, and through the services behind the screens. */
import { existsSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadImage } from '@napi-rs/canvas';
import { PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { runCommand } from '../../../main/command/program.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';
import { PanelParts } from './damaged-output.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const panel = () => at('out', 'SJ-7', 'output-1', 'panels', 'SJ-7_LH-01.pdf');

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-run-verifications-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** Runs a command; `heard` is called with every line of progress before the work continues. */
async function run(args: readonly string[], heard: (line: string) => void = () => undefined) {
  let out = '';
  const host = {
    stdout: { write: (text: string) => (out += text) },
    stderr: { isTTY: true, write: (text: string) => heard(text) },
    signal: new AbortController().signal,
    now: () => '2026-03-09T10:11:12.000Z',
    locale: 'en-US',
  };
  return { code: await runCommand(['--archive', at('archive'), ...args], host), out };
}
const CUT = () => ['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none'];

/** Covers a corner of the panel in black, as no archive would. */
async function paintPanelOver(): Promise<void> {
  const document = await PDFDocument.load(readFileSync(panel()), { updateMetadata: false });
  new PanelParts(document).paintOver('0 g 400 400 300 200 re f');
  writeFileSync(panel(), await document.save());
}

describe('on the command line', () => {
  it('ends a cut whose panels are damaged before they are verified with 1, and does not release it', async () => {
    let isDamaged = false;
    const cut = await run(CUT(), (line) => {
      if (isDamaged || !line.includes('Verifying')) return;
      isDamaged = true;
      truncateSync(panel(), 900);
    });
    expect(isDamaged).toBe(true);
    expect(cut.code).toBe(EXIT.blocked);
    expect(EXIT.blocked).toBe(1);
    expect(cut.out).toMatch(
      /NOT RELEASED: the verification failed\.\n {2}The file of panel LH-01 is not the one/,
    );
    expect((await run(['history', 'SJ-7'])).out).toContain('NOT RELEASED');
  });

  it('verifies a past run again where it lies: 0 while it is whole, 1 once it was tampered with', async () => {
    await run(CUT());
    const whole = await run(['verify', 'SJ-7', '1']);
    expect(whole.code).toBe(EXIT.done);
    expect(whole.out).toContain('Verified, released for production.');
    await paintPanelOver();
    const tampered = await run(['--json', 'verify', 'SJ-7', '1']);
    expect(tampered.code).toBe(EXIT.blocked);
    const { report } = JSON.parse(tampered.out) as { report: { faults: { code: string }[] } };
    expect(report.faults.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['file-changed', 'picture-differs']),
    );
    // What was found is kept, also where no verification can be made any more.
    rmSync(at('out'), { recursive: true });
    const gone = await run(['verify', 'SJ-7', '1']);
    expect(gone.code).toBe(EXIT.input);
    expect((await run(['history', 'SJ-7'])).out).toContain('NOT RELEASED');
    expect((await run(['verify', 'SJ-7', '2'])).code).toBe(EXIT.archive);
  });
});

describe('through the services', () => {
  it('tells the whole report and keeps the picture of a difference when the folder is gone', async () => {
    const services = await testServices(at('archive'));
    const client = new ServiceClient(services);
    try {
      await run([...CUT(), '--no-verification']);
      expect(await client.reply('output:verification', { outputId: 1 })).toBeNull();
      expect(await client.reply('output:verify', { outputId: 1 })).toMatchObject({
        verification: { state: 'verified' },
        remarks: [`Print from ${at('out', 'SJ-7', 'current')}.`],
      });
      expect(await client.reply('output:verification', { outputId: 1 })).toMatchObject({
        state: 'verified',
        faults: [],
      });
      expect(await client.reply('output:difference', { outputId: 1, panelLabel: 'LH-01' })).toBeNull();

      await paintPanelOver();
      expect(await client.reply('output:verify', { outputId: 1 })).toMatchObject({
        verification: { state: 'failed' },
        remarks: [],
      });
      expect(client.progress.map(({ what }) => what)).toContain('Verifying LH-02');
      const report = (await client.reply('output:verification', { outputId: 1 }))!;
      const fault = report.faults.find(({ code }) => code === 'picture-differs')!;
      expect(fault).toMatchObject({ panels: ['LH-01'], sideCode: 'LH' });
      rmSync(at('out'), { recursive: true });
      const again = await client.ask('output:verify', { outputId: 1 });
      expect(again).toMatchObject({ ok: false, problem: { code: 'manifest-unreadable' } });
      expect(await client.reply('output:verification', { outputId: 1 })).toEqual(report);

      const picture = (await client.reply('output:difference', { outputId: 1, panelLabel: 'LH-01' }))!;
      const image = await loadImage(Buffer.from(picture.png));
      expect([image.width, image.height]).toEqual([picture.widthPx, picture.heightPx]);
      expect(picture.widthPx).toBeGreaterThan(300);
      expect(await client.reply('output:difference', { outputId: 1, panelLabel: 'LH-02' })).toBeNull();
      expect(await client.ask('output:difference', { outputId: 7, panelLabel: 'LH-02' })).toMatchObject({
        ok: false,
        problem: { code: 'output-unknown' },
      });
      // The picture is one of the files that a check and a backup of the archive know of.
      const names = (await services.archive.checks.keptFiles()).map(({ name }) => name);
      expect(names).toContain('verification of LH-01 in Output 1 of job SJ-7');
    } finally {
      await services.close();
    }
    expect(existsSync(at('out'))).toBe(false);
  });
});
