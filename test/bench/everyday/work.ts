/**
 * One part of the everyday work on the bookmobile: `node work.ts PART`. Nothing is kept from one part to the next. Prints its
 * CPU as JSON.
 */

import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { type DrawnKind, isDrawnKind, SELECTED_SHEETS } from '../../../core/output/sheet-kind.ts';
import { openArtwork, scanArtwork } from '../../../main/artwork/artwork-file.ts';
import { jobCoverage } from '../../../main/ink/job-coverage.ts';
import { DEMO_JOBS, readDemoJob } from '../../../main/job/demo-jobs.ts';
import { jobState } from '../../../main/job/job-state.ts';
import { drawOutputSheets, sheetFonts } from '../../../main/tasks/output-sheets.ts';
import { demoArtPath } from '../../support/demo-art.ts';
import { resultValue } from '../../support/panel-check.ts';
import { treeCpuSeconds } from '../memory/process-tree.ts';

const { signal } = new AbortController();

async function bookmobile() {
  const artwork = resultValue(await openArtwork(demoArtPath('bookmobile'), { box: 'trim' }));
  const job = { ...(await readDemoJob(DEMO_JOBS.bookmobile)), artwork: artwork.reference };
  return { artwork, job };
}

/** The ink of every panel. */
async function ink(): Promise<number> {
  const { artwork, job } = await bookmobile();
  const { layouts } = jobState(job, artwork);
  return await cpuOf(async () => {
    const { unmeasured } = await jobCoverage(job, layouts, artwork, { signal, report: () => undefined });
    if (unmeasured.length > 0) throw new Error(JSON.stringify(unmeasured));
  });
}

/** All sheets, the pictures of the map included, but the seams at true size: those are for who asks for them alone. */
const sheets = (): Promise<number> =>
  sheetsOfKinds(SELECTED_SHEETS.filter(isDrawnKind).filter((kind) => kind !== 'seams'));

const seams = (): Promise<number> => sheetsOfKinds(['seams']);

async function sheetsOfKinds(kinds: readonly DrawnKind[]): Promise<number> {
  const { artwork, job } = await bookmobile();
  const state = jobState(job, await scanArtwork(artwork));
  // Nothing is drawn of a job that was not checked.
  jobFindings(state);
  return await cpuOf(async () => {
    await drawOutputSheets({ state, artwork, kinds }, sheetFonts(), signal);
  });
}

async function cpuOf(work: () => Promise<void>): Promise<number> {
  const before = treeCpuSeconds(process.pid);
  await work();
  return treeCpuSeconds(process.pid) - before;
}

const part = { ink, sheets, seams }[process.argv[2]!];
if (!part) throw new Error(`There is no part ${process.argv[2]}.`);
console.log(JSON.stringify({ cpuSeconds: await part() }));
