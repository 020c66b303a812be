/** Heavy work in a process of Electron's, which a stand-in makes of one of Node's. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { utilityTaskProcess } from '../../../main/desktop/utility-process.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { UTILITY_ARGS, utilityProcessStandIn } from '../../support/utility-process.ts';

let folder: string;
let path: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-utility-'));
  path = join(folder, 'art.pdf');
  writeFileSync(path, await smallArtwork());
});
afterAll(() => rmSync(folder, { recursive: true }));

it('cuts and verifies a job there', async () => {
  const tasks = new ProcessTasks(utilityTaskProcess(utilityProcessStandIn));
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const artwork = { path, fileName: 'art.pdf', box: 'crop' } as const;
  const facts = await tasks.run('artworkFacts', artwork, tools);
  if (!facts.ok) throw new Error(facts.problem.message);
  const job = { ...smallJob(), artwork: facts.value.reference };
  const out = join(folder, 'out');
  const request = { job, artwork, jobFolder: out, sheets: [], output: { number: 1 } };
  const output = await tasks.run('output', request, tools);
  if (!output.ok) throw new Error(output.problem.message);
  const verification = await tasks.run('verification', { job, artwork, folder: output.value.staged }, tools);
  await tasks.close();
  expect(verification).toMatchObject({ ok: true, value: { state: 'verified', faults: [] } });
});

it('would draw nothing outside a thread: pdf.js takes such a process for a browser', async () => {
  const module = join(import.meta.dirname, '../../../main/verify/pdfjs-document.ts');
  const script = `
    import { PdfjsDocument } from ${JSON.stringify(module)};
    const document = await PdfjsDocument.open(${JSON.stringify(path)});
    await document.picture(1, { scale: 1, x0: 0, y0: 0 }, { width: 60, height: 40 });
    console.log('drawn');
    process.exit();
  `;
  const run = (args: string[]) =>
    promisify(execFile)(process.execPath, [...args, '--input-type=module', '-e', script]);
  expect((await run([])).stdout).toContain('drawn');
  await expect(run(UTILITY_ARGS)).rejects.toThrow(/document is not defined/);
});
