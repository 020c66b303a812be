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
