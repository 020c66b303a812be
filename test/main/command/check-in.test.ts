import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-check-in-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

it('CK2 writes what the tape showed into the job file and says which dimension is out of tolerance', async () => {
  const path = join(folder, 'job.json');
  writeFileSync(path, jobToJson(smallJob()));
  const [side] = smallJob().sides;
  const drawn = side!.artworkRect.heightMm * smallJob().scale;
  const run = (...figures: string[]) =>
    commandLine([
      'check-in',
      path,
      '--side',
      side!.code,
      ...figures.flatMap((figure) => ['--figure', figure]),
    ]);

  const listed = await run();
  expect(listed.code).toBe(EXIT.done);
  expect(listed.out).toContain(`${drawn} mm`);
  const noted = await run(`height=${drawn + 13} mm`, 'diagonal=90 in');
  expect(noted.code).toBe(EXIT.blocked);
  expect(noted.out).toMatch(/height .*OUT OF TOLERANCE/);
  expect(JSON.parse(readFileSync(path, 'utf8')).sides[0]).toMatchObject({
    measured: { heightMm: drawn + 13 },
    checkIn: [{ dimensionId: 'diagonal', measuredMm: 90 * 25.4 }],
  });
  const wrong = await run('girth=7');
  expect(wrong.code).not.toBe(EXIT.done);
  expect(wrong.err).toContain('“girth=7” names no dimension of this side.');
});

it('CK1 prints the check-in sheet of a job that has no artwork yet', async () => {
  const path = join(folder, 'job.json');
  const { artwork: _, ...job } = smallJob();
  writeFileSync(path, jobToJson(job));
  const archive = ['--archive', join(folder, 'archive')];
  const to = ['--to', join(folder, 'out')];
  const written = await commandLine([...archive, 'sheets', path, '--sheets', 'check-in', ...to]);
  expect([written.code, written.err]).toEqual([EXIT.done, '']);
  const [, file] = /Written: (.*)\n/.exec(written.out)!;
  expect(file).toMatch(/_check-in\.pdf$/);
  expect(readFileSync(file!).subarray(0, 5).toString('latin1')).toBe('%PDF-');
  // What is cut from the artwork waits for it; papers do not.
  const map = await commandLine([...archive, 'sheets', path, '--sheets', 'map', ...to]);
  expect(map.code).toBe(EXIT.done);
  const cut = await commandLine([...archive, 'cut', path, ...to]);
  expect(cut.code).not.toBe(EXIT.done);
  expect(cut.err).toContain('names no artwork yet');
});
