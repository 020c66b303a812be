/**
 * Writes the panels of an output again as strips of its roll plan, for a shop that prints strips and cuts them apart.
 */
import { writeStrip } from '../../core/cut/strips/strip-document.ts';
import { stripPage } from '../../core/cut/strips/strip-page.ts';
import type { StripPanel } from '../../core/cut/strips/strip-panel.ts';
import type { Job } from '../../core/job/schema.ts';
import { present, valueAt } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ManifestPanel, ManifestStrip } from '../../core/output/manifest.ts';
import { type Artwork, artworkFromSource } from '../../core/pdf/document/artwork.ts';
import type { JobStrip } from '../../core/production/job-strips.ts';
import { fillItemId } from '../../core/rolls/fill-plan.ts';
import { itemPanelId } from '../../core/shop/rolls.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import type { HashedSize } from '../files/sha256.ts';
import { STRIPS_FOLDER, type StagedFolder } from '../files/staged-folder.ts';
import { type CuttingTools, cutTools } from './panel-files.ts';

export interface StripFile extends HashedSize {
  readonly strip: ManifestStrip;
}

/** A panel that was just written. */
export interface WrittenPanel {
  readonly panel: ManifestPanel;
  readonly sha256: string;
}

/** The files of the fill list, by the id of the item. */
type FillFiles = ReadonlyMap<
  string,
  {
    readonly item: { readonly label: string; readonly widthMm: number; readonly heightMm: number };
    readonly name: string;
    readonly sha256: string;
  }
>;

/**
 * Writes the strips to `staged`, which already has their panels. Throws the errors of files and of the signal; the
 * output must then be abandoned.
 */
export async function writeStripFiles(
  job: Job,
  strips: readonly JobStrip[],
  { written, fill }: { readonly written: readonly WrittenPanel[]; readonly fill: FillFiles },
  { program, staged }: { readonly program: string; readonly staged: StagedFolder },
  tools: CuttingTools,
): Promise<Result<StripFile[], Problem>> {
  const panels = new Map(written.map((each) => [each.panel.panelId, each]));
  const files: StripFile[] = [];
  for (const [done, strip] of strips.entries()) {
    tools.report(done, strips.length);
    const file = await writeStripFile(job, strip, { panels, fill }, { program, staged }, tools);
    if (!file.ok) {
      return resultProblem({ ...file.problem, message: `Strip ${strip.number}: ${file.problem.message}` });
    }
    files.push(file.value);
  }
  return resultOk(files);
}

async function writeStripFile(
  job: Job,
  { strip, roll, number, rollNumber, fileName }: JobStrip,
  { panels, fill }: { readonly panels: ReadonlyMap<string, WrittenPanel>; readonly fill: FillFiles },
  { program, staged }: { readonly program: string; readonly staged: StagedFolder },
  tools: CuttingTools,
): Promise<Result<StripFile, Problem>> {
  const page = stripPage(strip, roll, job.output.size);
  const onStrip: StripPanel[] = [];
  for (const placement of page.placements) {
    const fillId = fillItemId(placement.panelId);
    if (fillId !== undefined) {
      const { item, name, sha256 } = valueAt(fill, fillId);
      const pdf = await readPdfBack(staged.stagedPath(name));
      onStrip.push({ ...item, pdf, sha256, placement });
      continue;
    }
    const { panel, sha256 } = valueAt(panels, itemPanelId(placement.panelId));
    const pdf = await readPdfBack(staged.stagedPath(panel.file));
    const { widthMm, heightMm } = panel.filmBox;
    onStrip.push({ label: panel.label, pdf, sha256, widthMm, heightMm, placement });
  }
  const name = `${STRIPS_FOLDER}/${fileName}`;
  const file = await staged.beginFile(name);
  try {
    const title = `${job.number} strip ${number}, roll ${rollNumber}`;
    const info = { title, created: job.date, program };
    const made = await writeStrip(
      page,
      onStrip,
      info,
      file,
      cutTools(present(job.artwork, 'The artwork of a job').sha256, tools),
    );
    if (!made.ok) return made;
    const entry: ManifestStrip = {
      file: name,
      number,
      roll: roll.label,
      fromMm: strip.startMm,
      widthMm: page.filmWidthMm,
      lengthMm: page.filmHeightMm,
      enlargeBy: made.value.enlargeBy,
      panels: page.placements.flatMap(({ panelId, xMm, yMm, turned }) => {
        const panel = panels.get(itemPanelId(panelId))?.panel;
        return panel ? [{ label: panel.label, panelId: panel.panelId, xMm, yMm, turned }] : [];
      }),
    };
    return resultOk({ strip: entry, ...(await file.finish()) });
  } finally {
    await file.close();
  }
}

async function readPdfBack(path: string): Promise<Artwork> {
  const pdf = await artworkFromSource(await openPdfSource(path), { codecs: pdfCodecs });
  if (!pdf.ok) throw new Error(`${path} was written and cannot be read: ${pdf.problem.message}`);
  return pdf.value;
}
