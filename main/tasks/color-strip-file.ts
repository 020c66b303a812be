/** The color strip of a reprint, cut out of the panel as it was written: it prints what the panel prints. */
import { rmSync } from 'node:fs';
import { join, posix } from 'node:path';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { colorStripCut } from '../../core/cut/color-strip-cut.ts';
import { enlargement } from '../../core/cut/panel-geometry.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import type { Job } from '../../core/job/schema.ts';
import { firstOf, foundIn } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { type ColorStrip, colorStrip, colorStripLabel } from '../../core/output/color-strip.ts';
import { colorStripFileName } from '../../core/output/file-name.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { OutputMark } from '../../core/output/output-mark.ts';
import { layoutsAsWritten } from '../../core/output/reprint-layouts.ts';
import { panelDocument } from '../../core/verify/structure/panel-document.ts';
import { openArtwork } from '../artwork/artwork-file.ts';
import { cutPanelFiles } from '../cut/panel-files.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import type { StagedFolder } from '../files/staged-folder.ts';
import { jobKnown } from '../job/job-state.ts';
import { panelWithoutContours } from '../verify/without-contours.ts';
import type { TaskTools } from './task-tools.ts';

/** Separate from the panels: files among them are verified as panels, and copied to `current`. */
const STRIP_FOLDER = 'color-strip';

interface StripSubject {
  readonly job: Job;
  /** Of the first output. */
  readonly manifest: Manifest;
  readonly output: OutputMark;
}

interface StagedStrip {
  readonly strip: ColorStrip;
  readonly file: OutputFile;
}

/** `panels`: files of the reprint that lie in `staged` already. Undefined where no panel is made again. */
export async function stageColorStrip(
  { job, manifest, output }: StripSubject,
  panels: readonly OutputFile[],
  staged: StagedFolder,
  { signal, report }: TaskTools,
): Promise<Result<StagedStrip | undefined>> {
  signal.throwIfAborted();
  report({ what: 'Cutting the color strip', done: 0, total: 1 });
  const layouts = layoutsAsWritten(jobKnown(job, undefined).layouts, manifest.panels);
  const strip = colorStrip(job, layouts, new Set(panels.flatMap(({ panelId }) => panelId ?? [])));
  if (!strip) return resultOk(undefined);
  const written = foundIn(panels, ({ panelId }) => panelId === strip.panel.id);
  const path = join(staged.path, ...written.name.split(posix.sep));
  const isPlain = manifest.panels.every(({ contourInk }) => contourInk === undefined);
  if (isPlain) return await cutStrip({ job, output }, strip, path, staged, signal);
  const scratch = makeScratchFolder('strip');
  try {
    const document = await panelDocument(await openPdfSource(path), pdfCodecs);
    if (!document.ok) return document;
    const copy = await panelWithoutContours(path, document.value, join(scratch, 'panel.pdf'));
    return await cutStrip({ job, output }, strip, copy, staged, signal);
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}

async function cutStrip(
  { job, output }: Pick<StripSubject, 'job' | 'output'>,
  strip: ColorStrip,
  path: string,
  staged: StagedFolder,
  signal: AbortSignal,
): Promise<Result<StagedStrip>> {
  const panel = await openArtwork(path, { box: 'media' }, { signal });
  if (!panel.ok) return panel;
  const { artwork, reference } = panel.value;
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const name = `${STRIP_FOLDER}/${colorStripFileName(job.number, strip.panel.label, enlargement(job.output.size))}`;
  const cut = await cutPanelFiles(
    artwork,
    reference.sha256,
    [
      {
        label: colorStripLabel(strip),
        cut: colorStripCut(job, strip, output, `Panelwright ${PROGRAM_VERSION}`, fonts),
        name,
      },
    ],
    staged,
    { signal, report: () => undefined },
  );
  if (!cut.ok) return cut;
  const { sha256, sizeBytes } = firstOf(cut.value);
  return resultOk({ strip, file: { name, kind: 'color-strip', sha256, sizeBytes } });
}
