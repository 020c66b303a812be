/**
 * The proof of an output: every panel file is read back, drawn by another renderer than the previews', laid in place
 * and compared with the artwork.
 */
import { readdir, rm } from 'node:fs/promises';
import { dirname, join, posix } from 'node:path';
import type { Progress } from '../../core/contract/contract.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { Panel } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest, ManifestPanel } from '../../core/output/manifest.ts';
import { sideCoverage } from '../../core/verify/coverage.ts';
import { proofFault } from '../../core/verify/proof-fault.ts';
import {
  PROOF_VERSION,
  type ProofFault,
  ProofReport,
  type SideProof,
} from '../../core/verify/proof-report.ts';
import { ProofSource } from '../../core/verify/structure/panel-structure.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { PANELS_FOLDER } from '../files/staged-folder.ts';
import type { JobState } from '../job/job-state.ts';
import { PROOF_FOLDER } from './panel-proof.ts';
import { PROOF_RENDERER } from './pdfjs-document.ts';
import { RenderThread } from './render-thread.ts';
import { type ProvedSide, sideProved } from './side-proof.ts';

export const PROOF_NAME = 'proof.json';
/** Each needs the memory of one panel's pictures, unpacked, and half a second to begin. */
const THREADS = 2;
const MIN_PANELS_A_THREAD = 2;

export interface ProofRequest {
  readonly manifest: Manifest;
  readonly folder: string;
  readonly state: JobState;
  readonly artwork: OpenedArtwork;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: ReadonlySet<string>;
}

export interface ProofTools {
  readonly signal: AbortSignal;
  /** Longest time for one drawing; two minutes unless said otherwise. */
  readonly drawingLimitMs?: number;
  readonly report: (progress: Progress) => void;
}

/**
 * Proves what lies in `folder` against its manifest, the job and the artwork. The report is also written there, with a
 * picture of each difference. Problems: those of files, `cancelled`; whatever is wrong with the panels is in the report.
 */
export async function outputProved(request: ProofRequest, tools: ProofTools): Promise<Result<ProofReport>> {
  const wanted = Math.floor(request.manifest.panels.length / MIN_PANELS_A_THREAD);
  const threads = Array.from(
    { length: Math.max(1, Math.min(THREADS, wanted)) },
    () => new RenderThread(tools.drawingLimitMs),
  );
  try {
    await proofRemoved(request.folder);
    const report = await outputReport(request, tools, threads);
    await writeFileAtomically(join(request.folder, PROOF_NAME), `${JSON.stringify(report, undefined, 2)}\n`);
    return resultOk(report);
  } catch (error) {
    const problem = fileProblem(error, request.folder);
    if (problem) return resultProblem(problem);
    throw error;
  } finally {
    await Promise.all(threads.map((thread) => thread.close()));
  }
}

/** Takes away the proof of what was in a folder before, which says nothing of what will be. */
export async function proofRemoved(folder: string): Promise<void> {
  await rm(join(folder, PROOF_NAME), { force: true });
  await rm(join(folder, PROOF_FOLDER), { recursive: true, force: true });
}

async function outputReport(
  request: ProofRequest,
  { signal, report }: ProofTools,
  threads: readonly RenderThread[],
): Promise<ProofReport> {
  const { manifest, artwork, state } = request;
  const faults: ProofFault[] = [...artworkFaults(request), ...(await unlistedFaults(request))];
  const source = new ProofSource(artwork.artwork);
  const sides: SideProof[] = [];
  let done = 0;
  for (const layout of state.layouts) {
    const expected = layout.panels.filter(({ id }) => !request.panelIds || request.panelIds.has(id));
    const listed = manifest.panels.filter(({ sideId }) => sideId === layout.side.id);
    faults.push(...unwrittenFaults(layout, expected, listed));
    if (listed.length === 0) continue;
    const proved = await sideProved(
      listed,
      { manifest, folder: request.folder, artwork, source, threads, signal },
      (label) => report({ what: `Proving ${label}`, done: done++, total: manifest.panels.length }),
    );
    faults.push(...proved.faults);
    const coverage = sideCoverage(
      layout,
      proved.present.map((panel) => rectFromStored(panel.netMm)),
    );
    if (!request.panelIds) faults.push(...coverageFaults(layout, coverage.uncoveredMm2, proved));
    sides.push({ ...proved.side, coveredShare: coverage.share });
  }
  report({ what: 'Finished', done: manifest.panels.length, total: Math.max(1, manifest.panels.length) });
  return ProofReport.parse({
    format: 'panelwright-proof',
    version: PROOF_VERSION,
    program: { name: 'Panelwright', version: PROGRAM_VERSION },
    renderer: PROOF_RENDERER,
    state: faults.length === 0 ? 'proved' : 'failed',
    sides,
    faults,
  } satisfies ProofReport);
}

function artworkFaults({ manifest, artwork }: ProofRequest): ProofFault[] {
  if (manifest.artwork.sha256 === artwork.reference.sha256) return [];
  const text = `The panels were cut from ${manifest.artwork.fileName}, of which ${artwork.reference.fileName} is not an unchanged copy.`;
  return [proofFault('artwork-changed', { panels: [] }, text)];
}

/** Files beside the panels that the manifest knows nothing of. */
async function unlistedFaults({ folder, manifest }: ProofRequest): Promise<ProofFault[]> {
  const known = new Set(manifest.panels.map(({ file }) => file));
  const faults: ProofFault[] = [];
  for (const subfolder of new Set([PANELS_FOLDER, ...manifest.panels.map(({ file }) => dirname(file))])) {
    const names = await readdir(join(folder, ...subfolder.split(posix.sep))).catch(() => []);
    for (const name of names) {
      if (!/\.pdf$/i.test(name) || known.has(posix.join(subfolder, name)) || subfolder === '.') continue;
      faults.push(
        proofFault(
          'panel-unlisted',
          { panels: [] },
          `The manifest does not list ${name}, which lies among the panels.`,
        ),
      );
    }
  }
  return faults;
}

function unwrittenFaults(
  { side }: SideLayout,
  expected: readonly Panel[],
  listed: readonly ManifestPanel[],
): ProofFault[] {
  const ids = new Set(listed.map(({ panelId }) => panelId));
  return expected
    .filter(({ id }) => !ids.has(id))
    .map(({ label }) =>
      proofFault(
        'panel-missing',
        { panels: [label], sideCode: side.code },
        `Panel ${label} was not written.`,
      ),
    );
}

function coverageFaults({ side }: SideLayout, uncoveredMm2: number, { present }: ProvedSide): ProofFault[] {
  if (uncoveredMm2 === 0) return [];
  const square = (uncoveredMm2 / 1e6).toFixed(uncoveredMm2 < 1e4 ? 4 : 2);
  const text = `The ${present.length} panels of ${side.code} leave ${square} m² of the side without film, openings not counted.`;
  return [proofFault('area-uncovered', { panels: [], sideCode: side.code }, text)];
}
