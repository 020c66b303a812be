/**
 * The verification of an output: every panel file is read back, compared with the artwork object by object and sample
 * by sample, then drawn at its place on the vehicle and compared with the drawn artwork.
 */

import { rmSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { basename, dirname, join, posix } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import type { JobKnown } from '../../core/checks/findings/job-findings.ts';
import type { Progress } from '../../core/contract/parts.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { Panel } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest, ManifestPanel } from '../../core/output/manifest.ts';
import { coveredShare } from '../../core/verify/covered-share.ts';
import { VerificationSource } from '../../core/verify/structure/panel-structure.ts';
import { verificationFault } from '../../core/verify/verification-fault.ts';
import {
  type SideVerification,
  VERIFICATION_VERSION,
  type VerificationFault,
  VerificationReport,
} from '../../core/verify/verification-report.ts';
import { isDrawnBeside, type OpenedArtwork } from '../artwork/artwork-file.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { PANELS_FOLDER } from '../files/staged-folder.ts';
import { DrawProcess } from './draw-process.ts';
import { PDFJS_NAME } from './pdfjs-package.ts';
import { type ReadSide, readSide, type VerifiedSide, verifySide } from './side-verification.ts';
import { removeVerification, VERIFICATION_NAME } from './verification-files.ts';

/** Longest work between two checks for a cancel. */
const TURN_MS = 40;

export interface VerificationRequest {
  readonly manifest: Manifest;
  readonly folder: string;
  readonly state: JobKnown;
  readonly artwork: OpenedArtwork;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: ReadonlySet<string>;
}

export interface VerificationTools {
  readonly signal: AbortSignal;
  /** CPU seconds that one drawing may take; ten minutes by default. */
  readonly drawingCpuSeconds?: number;
  readonly report: (progress: Progress) => void;
}

/**
 * Verifies the files in `folder` against its manifest, the job and the artwork. Writes the report there, with a picture
 * of each difference. Problems: those of files, and `cancelled`; faults of the panels are in the report.
 */
export async function verifyWrittenFiles(
  request: VerificationRequest,
  tools: VerificationTools,
): Promise<Result<VerificationReport>> {
  const { drawingCpuSeconds: cpuSeconds } = tools;
  const copies = new PanelCopies();
  const drawing = new DrawProcess(cpuSeconds === undefined ? {} : { cpuSeconds });
  try {
    await removeVerification(request.folder);
    // The drawing process starts while the first panels are read.
    if (request.manifest.panels.length > 0) drawing.prepare();
    const report = await outputReport(request, tools, drawing, copies);
    await writeFileAtomically(
      join(request.folder, VERIFICATION_NAME),
      `${JSON.stringify(report, undefined, 2)}\n`,
    );
    return resultOk(report);
  } catch (error) {
    const problem = fileProblem(error, request.folder);
    if (problem) return resultProblem(problem);
    throw error;
  } finally {
    await drawing.close();
    copies.remove();
  }
}

async function outputReport(
  request: VerificationRequest,
  { signal, report }: VerificationTools,
  drawing: DrawProcess,
  copies: PanelCopies,
): Promise<VerificationReport> {
  const { manifest, artwork, state } = request;
  const faults: VerificationFault[] = [...artworkFaults(request), ...(await unlistedFaults(request))];
  const source = new VerificationSource(artwork.artwork);
  const notes: VerificationFault[] = [];
  const sides: SideVerification[] = [];
  const total = 2 * manifest.panels.length;
  const pause = pausing(signal);
  let done = 0;
  const onBegin = (label: string) => report({ what: `Verifying ${label}`, done: done++, total });
  const listed = state.layouts.map(({ side }) => manifest.panels.filter(({ sideId }) => sideId === side.id));
  const toolsOf = (index: number) => {
    const before = listed.slice(0, index).reduce((sum, { length }) => sum + length, 0);
    const place = { before, count: manifest.panels.length };
    const copyPath = (file: string) => copies.path(file);
    return { manifest, copyPath, folder: request.folder, artwork, source, drawing, signal, pause, ...place };
  };
  const begin = (index: number): Promise<ReadSide> | undefined => {
    const panels = listed[index];
    const reading = panels && readSide(panels, toolsOf(index), onBegin);
    reading?.catch(() => undefined);
    return reading;
  };
  // While one side is drawn, in another process, the files of the next are read.
  let reading: Promise<ReadSide> | undefined;
  try {
    for (const [index, layout] of state.layouts.entries()) {
      const read = present(await (reading ?? begin(index)), 'A side that is read');
      reading = isDrawnBeside(artwork) ? begin(index + 1) : undefined;
      const expected = layout.panels.filter(({ id }) => !request.panelIds || request.panelIds.has(id));
      faults.push(...unwrittenFaults(layout, expected, read.panels));
      if (read.panels.length === 0) continue;
      const verified = await verifySide(read, toolsOf(index), onBegin);
      faults.push(...verified.faults);
      notes.push(...verified.notes);
      const coverage = coveredShare(
        layout,
        verified.present.flatMap((panel) =>
          panel.finishedOutline ? [] : [rectFromStored(panel.finishedBox)],
        ),
        verified.present.flatMap(({ finishedOutline }) =>
          finishedOutline ? [finishedOutline.map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))] : [],
        ),
      );
      if (!request.panelIds) faults.push(...uncoveredFaults(layout, coverage.uncoveredMm2, verified));
      sides.push({ ...verified.side, coveredShare: coverage.share });
    }
  } finally {
    await reading?.catch(() => undefined);
  }
  report({ what: 'Finished', done: total, total: Math.max(1, total) });
  return VerificationReport.parse({
    format: 'panelwright-verification',
    version: VERIFICATION_VERSION,
    program: { name: 'Panelwright', version: PROGRAM_VERSION },
    renderer: `PDFium and ${PDFJS_NAME}`,
    state: faults.length === 0 ? 'verified' : 'failed',
    sides,
    faults,
    notes,
  } satisfies VerificationReport);
}

/** Copies of panels without their cut contours, in a folder that is created on first use. */
class PanelCopies {
  #folder: string | undefined;

  path(file: string): string {
    this.#folder ??= makeScratchFolder('contours');
    return join(this.#folder, basename(file));
  }

  remove(): void {
    if (this.#folder !== undefined) rmSync(this.#folder, { recursive: true, force: true });
  }
}

/** A cancel arrives as a message, which is received only between two turns of the event loop. */
function pausing(signal: AbortSignal): () => Promise<void> | void {
  let turnEndsMs = performance.now() + TURN_MS;
  return () => {
    signal.throwIfAborted();
    if (performance.now() < turnEndsMs) return;
    return (async () => {
      await setImmediate();
      turnEndsMs = performance.now() + TURN_MS;
      signal.throwIfAborted();
    })();
  };
}

function artworkFaults({ manifest, artwork }: VerificationRequest): VerificationFault[] {
  if (manifest.artwork.sha256 === artwork.reference.sha256) return [];
  const text = `The panels were cut from ${manifest.artwork.fileName}, of which ${artwork.reference.fileName} is not an unchanged copy.`;
  return [verificationFault('artwork-changed', { panels: [] }, text)];
}

/** Files beside the panels that the manifest does not list. */
async function unlistedFaults({ folder, manifest }: VerificationRequest): Promise<VerificationFault[]> {
  const known = new Set(manifest.panels.map(({ file }) => file));
  const faults: VerificationFault[] = [];
  for (const subfolder of new Set([PANELS_FOLDER, ...manifest.panels.map(({ file }) => dirname(file))])) {
    const names = await readdir(join(folder, ...subfolder.split(posix.sep))).catch(() => []);
    for (const name of names) {
      if (!/\.pdf$/i.test(name) || known.has(posix.join(subfolder, name)) || subfolder === '.') continue;
      faults.push(
        verificationFault(
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
): VerificationFault[] {
  const ids = new Set(listed.map(({ panelId }) => panelId));
  return expected
    .filter(({ id }) => !ids.has(id))
    .map(({ label }) =>
      verificationFault(
        'panel-missing',
        { panels: [label], sideCode: side.code },
        `Panel ${label} was not written.`,
      ),
    );
}

function uncoveredFaults(
  { side }: SideLayout,
  uncoveredMm2: number,
  { present }: VerifiedSide,
): VerificationFault[] {
  if (uncoveredMm2 === 0) return [];
  const square = (uncoveredMm2 / 1e6).toFixed(uncoveredMm2 < 1e4 ? 4 : 2);
  const text = `The ${present.length} panels of ${side.code} leave ${square} m² of the side without film, no-film areas not counted.`;
  return [verificationFault('area-uncovered', { panels: [], sideCode: side.code }, text)];
}
