/** One panel as it would be written now, for the screen: with any findings, and without an output. */
import { cutPanels } from '../../core/cut/cut.ts';
import { pagePlan } from '../../core/cut/panel-geometry.ts';
import type { Job } from '../../core/job/schema.ts';
import { outputSizeHolding } from '../../core/layout/output-size.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { type OpenedArtwork, pageExtents } from '../artwork/artwork-file.ts';
import { cutTools } from '../cut/panel-files.ts';
import { contourInk } from './data-files.ts';
import { panelToCut } from './job-output.ts';
import { sheetFonts } from './output-sheets.ts';
import type { TaskTools } from './task-tools.ts';

export interface PanelPreview {
  readonly bytes: Uint8Array;
  /** How long a millimeter of film is on its page. */
  readonly unitsPerMm: number;
}

export async function panelPreview(
  job: Job,
  panelId: string,
  artwork: OpenedArtwork,
  { signal, report }: TaskTools,
): Promise<Result<PanelPreview, Problem>> {
  const found = jobLayout(job, pageExtents(artwork.pages))
    .flatMap((layout) => layout.panels.map((panel) => ({ layout, panel })))
    .find(({ panel }) => panel.id === panelId);
  if (!found) return resultProblem(panelUnknown(panelId));
  const { layout, panel } = found;
  const { width, height } = panel.film;
  // A panel can be viewed before its file size is set.
  const size = outputSizeHolding(job.output.size, Math.max(width, height));
  const resized = { ...job, output: { ...job.output, size } };
  const { cut } = panelToCut(
    resized,
    layout,
    panel,
    sheetFonts(() => undefined),
    job.output.cutContours ? { contourInk: contourInk(artwork.scan) } : {},
  );
  const plan = pagePlan({ filmWidthMm: width, filmHeightMm: height }, size);
  if (!plan.ok) return plan;
  const output = new MemoryOutput();
  const what = `Cutting ${panel.label}`;
  const written = await cutPanels(
    artwork.artwork,
    [cut],
    [output],
    cutTools(artwork.reference.sha256, {
      signal,
      report: (done, total) => report({ what, done: done / Math.max(1, total), total: 1 }),
    }),
  );
  if (!written.ok) return written;
  return resultOk({ bytes: output.bytes(), unitsPerMm: plan.value.toPage[0] });
}

const panelUnknown = (panelId: string): Problem => ({
  code: 'panel-unknown',
  message: `The job has no panel ${panelId}.`,
  remedy: 'Select a panel that the job has.',
});

/** The cut writes to a file; this one is kept in memory, because only one look at it is taken. */
class MemoryOutput {
  #pieces: Uint8Array[] = [];

  write(bytes: Uint8Array): void {
    this.#pieces.push(bytes.slice());
  }

  rewind(length: number): void {
    this.#pieces = [this.bytes().subarray(0, length)];
  }

  bytes(): Uint8Array {
    return new Uint8Array(Buffer.concat(this.#pieces));
  }
}
