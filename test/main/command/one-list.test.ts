import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Finding } from '../../../core/findings/finding.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-list-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) => commandLine(['--json', '--archive', at('archive'), ...args]);

/** The texts of a PDF without spaces, for lines are broken where the sheet has no more room. */
async function textOf(path: string): Promise<string> {
  const document = await getDocument({ data: new Uint8Array(readFileSync(path)) }).promise;
  let text = '';
  for (let page = 1; page <= document.numPages; page++) {
    const { items } = await (await document.getPage(page)).getTextContent();
    text += items.map((item) => ('str' in item ? item.str : '')).join('');
  }
  await document.loadingTask.destroy();
  return text.replaceAll(/\s/g, '');
}

/** A laminate that lifts its film, a promise that cannot be kept, an edge without bleed: of three families. */
const TROUBLED: Job = smallJob({
  laminate: { name: 'Clear monomeric', kind: 'calendered-monomeric', finish: '', lotNumber: '' },
  production: {
    ...DEFAULT_PRODUCTION,
    worstCoveragePercent: 210,
    meanCoveragePercent: 90,
    printStart: '2026-03-09T07:30',
    promised: '2026-03-10T08:00',
  },
  sides: smallJob().sides.map((side) => ({ ...side, bleed: { top: 50, right: 50, bottom: 0, left: 50 } })),
});

it('FND6 check, output gate and ticket say the same of a job that was opened for production', async () => {
  writeFileSync(at('job.json'), jobToJson(TROUBLED));
  const job = [at('job.json'), '--artwork', at('art.pdf')];
  const checked = JSON.parse((await run('check', ...job)).out) as { findings: (Finding & { key: string })[] };
  const blocking = checked.findings.filter(({ severity }) => severity !== 'note');
  expect(blocking.map(({ code }) => code)).toEqual([
    'pair-calendered-on-cast',
    'bleed-none',
    'dry-promised-too-early',
  ]);

  const cut = await run('cut', ...job, '--to', at('out'));
  expect(cut.code).toBe(EXIT.blocked);
  const { problem } = JSON.parse(cut.out) as { problem: { findings: Finding[] } };
  expect(problem.findings).toEqual(blocking.map(({ key: _, ...finding }) => finding));

  expect((await run('sheets', ...job, '--sheets', 'ticket', '--to', at('sheets'))).code).toBe(EXIT.done);
  const ticket = await textOf(at('sheets', 'SJ-7', 'sheets-1', 'SJ-7_ticket.pdf'));
  for (const { message } of blocking) expect(ticket).toContain(message.replaceAll(/\s/g, ''));
});
