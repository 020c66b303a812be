/** One part of the benchmark of the verification: `node work.ts PART FOLDER [ARTWORK]`. Prints its CPU as JSON. */
import { readFileSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import type { Job } from '../../../core/job/schema.ts';
import { manifestFromJson } from '../../../core/output/manifest-json.ts';
import { openArtwork, scanArtwork } from '../../../main/artwork/artwork-file.ts';
import { DEMO_JOBS, readDemoJob } from '../../../main/job/demo-jobs.ts';
import { jobState } from '../../../main/job/job-state.ts';
import { PdfiumDocument, startPdfium } from '../../../main/render/pdfium.ts';
import { stageJobOutput } from '../../../main/tasks/job-output.ts';
import { verifyWrittenFiles } from '../../../main/verify/output-verification.ts';
import { demoArtPath } from '../../support/demo-art.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { PAGE } from '../cut/art-file.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };
const MEGAPIXELS = 32.6;
const PANELS = 12;
const MM_PER_PT = 25.4 / 72;
/** A child that was ended is counted when the system has taken leave of it. */
const LEAVE_MS = 500;

const [part, folder, path] = process.argv.slice(2) as [string, string, string?];
const output = join(folder, 'out');
const isBookmobile = part.endsWith('bookmobile');
await ({ cut, verify, draw }[part.split('-')[0]!] ?? fail)();
console.log(JSON.stringify({ cpuSeconds: cpuSeconds() }));

function fail(): never {
  throw new Error(`There is no part ${part}.`);
}

async function cut(): Promise<void> {
  const { state, artwork } = await opened();
  const ready = { ...state, blocking: [] };
  const staged = resultValue(
    await stageJobOutput({ state: ready, artwork, jobFolder: folder, sheets: [] }, TOOLS),
  );
  renameSync(staged.staged, output);
}

async function verify(): Promise<void> {
  const { state, artwork } = await opened();
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
  return { artwork, state: jobState(job, part.startsWith('cut') ? await scanArtwork(artwork) : artwork) };
}

/** The page of the benchmark of the cut as one side at 1:10. */
function twelvePanels(artwork: Job['artwork']): Job {
  const job = smallJob();
  const [widthMm, heightMm] = [PAGE.width * MM_PER_PT, PAGE.height * MM_PER_PT];
  const joints = Array.from({ length: PANELS - 1 }, (_, i) => ({
    id: `s${i}`,
    kind: 'lap' as const,
    atMm: ((i + 1) * widthMm * 10) / PANELS,
    firstMm: 15,
    secondMm: 10,
    top: 'second' as const,
  }));
  const parts = Array.from({ length: PANELS }, (_, i) => ({ kind: 'panel' as const, id: `p${i}` }));
  const side = {
    ...job.sides[0]!,
    artworkRect: { xMm: 0, yMm: 0, widthMm, heightMm },
    bleed: { top: 0, right: 0, bottom: 0, left: 0 },
    layout: { kind: 'split' as const, seams: 'vertical' as const, joints, parts },
  };
  return { ...job, artwork, sides: [side] };
}

/** Of this process and all that it started and that have left; their own only where the system does not tell. */
function cpuSeconds(): number {
  try {
    const fields = readFileSync('/proc/self/stat', 'utf8').split(') ')[1]!.split(' ');
    return [11, 12, 13, 14].reduce((sum, at) => sum + Number(fields[at]), 0) / 100;
  } catch {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1e6;
  }
}
