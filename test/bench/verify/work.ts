/**
 * One part of the benchmark of the verification: `node work.ts PART FOLDER [ARTWORK]`. Prints its CPU as JSON, and that of
 * all that it started, whether they have left or wait for more work.
 */
import { readFileSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { manifestFromJson } from '../../../core/output/manifest-json.ts';
import { openArtwork, scanArtwork } from '../../../main/artwork/artwork-file.ts';
import { DEMO_JOBS, readDemoJob } from '../../../main/job/demo-jobs.ts';
import { jobKnown, jobState } from '../../../main/job/job-state.ts';
import { PdfiumDocument, startPdfium } from '../../../main/render/pdfium.ts';
import { stageJobOutput } from '../../../main/tasks/job-output.ts';
import { verifyWrittenFiles } from '../../../main/verify/output-verification.ts';
import { demoArtPath } from '../../support/demo-art.ts';
import { resultValue } from '../../support/panel-check.ts';
import { treeCpuSeconds } from '../memory/process-tree.ts';
import { twelvePanels } from './twelve-panels.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };
const MEGAPIXELS = 32.6;
/** A child that was ended is counted when the system has taken leave of it. */
const LEAVE_MS = 500;

const [part, folder, path] = process.argv.slice(2) as [string, string, string?];
const output = join(folder, 'out');
const isBookmobile = part.endsWith('bookmobile');
await ({ cut, verify, draw }[part.split('-')[0]!] ?? fail)();
console.log(JSON.stringify({ cpuSeconds: treeCpuSeconds(process.pid) }));

function fail(): never {
  throw new Error(`There is no part ${part}.`);
}

async function cut(): Promise<void> {
  const { job, artwork } = await opened();
  const ready = { ...jobState(job, await scanArtwork(artwork)), blocking: [] };
  const staged = resultValue(
    await stageJobOutput(
      { state: ready, artwork, jobFolder: folder, sheets: [], output: { number: 1 } },
      TOOLS,
    ),
  );
  renameSync(staged.staged, output);
}

async function verify(): Promise<void> {
  const { job, artwork } = await opened();
  // As a task does it: a verification plans no rolls.
  const state = jobKnown(job, artwork);
  const manifest = resultValue(
    manifestFromJson(readFileSync(join(output, 'manifest.json'), 'utf8'), 'there'),
  );
  const report = resultValue(await verifyWrittenFiles({ manifest, folder: output, state, artwork }, TOOLS));
  if (report.state !== 'verified') throw new Error(report.faults.map(({ message }) => message).join('\n'));
  await setTimeout(LEAVE_MS);
}

async function draw(): Promise<void> {
  const { panels } = resultValue(
    manifestFromJson(readFileSync(join(output, 'manifest.json'), 'utf8'), 'there'),
  );
  const area = panels.reduce((sum, { filmBox }) => sum + filmBox.widthMm * filmBox.heightMm, 0);
  const pixelsPerMm = Math.sqrt((MEGAPIXELS * 1e6) / area);
  await startPdfium();
  for (const { file, filmBox } of panels) {
    const document = (await PdfiumDocument.openFile(join(output, file)))!;
    document.wholePage(1, Math.round(filmBox.widthMm * pixelsPerMm));
    document.close();
  }
}

async function opened() {
  const at = isBookmobile ? demoArtPath('bookmobile') : path!;
  const artwork = resultValue(await openArtwork(at, { box: isBookmobile ? 'trim' : 'crop' }));
  const { reference } = artwork;
  const job = isBookmobile
    ? { ...(await readDemoJob(DEMO_JOBS.bookmobile)), artwork: reference }
    : twelvePanels(reference);
  return { artwork, job };
}
