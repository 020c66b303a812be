/** What an output has for other programs: the panel table, cut contours, the job ticket. */
import { parse } from 'node:path';
import type { JobKnown } from '../../core/checks/findings/job-findings.ts';
import type { ArtworkScan } from '../../core/checks/scan/schema.ts';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { contourDxf } from '../../core/exchange/contour-dxf.ts';
import { contourPdf, cuttingInk } from '../../core/exchange/contour-pdf.ts';
import { contourSvg } from '../../core/exchange/contour-svg.ts';
import { type Contours, panelContours, stripContours } from '../../core/exchange/contours.ts';
import { jobTicket } from '../../core/exchange/job-ticket.ts';
import { xmlText } from '../../core/exchange/xml.ts';
import type { ColorStrip } from '../../core/output/color-strip.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import { panelTableCsv } from '../../core/output/panel-table.ts';
import { layoutsOfPanels } from '../../core/output/reprint-layouts.ts';
import { type SheetKind, sheetFileName } from '../../core/output/sheet-kind.ts';
import { filmProductions, jobProduction } from '../../core/production/job-production.ts';
import { jobStrips } from '../../core/production/job-strips.ts';
import { productionWithStrip } from '../../core/production/strip-production.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { md5OfFile, sha256Hex } from '../files/sha256.ts';
import { CONTOURS_FOLDER, type StagedFolder } from '../files/staged-folder.ts';
import { filesListed } from './files-listed.ts';

/** What is printed, as the papers of the output show it. */
interface Printed {
  readonly state: JobKnown;
  /** Absent: all panels. */
  readonly panelIds?: ReadonlySet<string> | undefined;
  /** Of a reprint: what is printed before its panels. */
  readonly strip?: ColorStrip | undefined;
}

/** `manifest` lists all files that are in `staged` already. */
export async function writeDataFiles(
  kinds: readonly SheetKind[],
  printed: Printed,
  manifest: Manifest,
  staged: StagedFolder,
  signal: AbortSignal,
): Promise<OutputFile[]> {
  const { number } = manifest.job;
  const files: OutputFile[] = [];
  if (kinds.includes('table')) {
    const name = sheetFileName(number, 'table');
    files.push({ name, kind: 'table', ...(await staged.write(name, panelTableCsv(manifest))) });
  }
  if (kinds.includes('cut-contours')) files.push(...(await writeContours(printed, manifest, staged, signal)));
  if (kinds.includes('xjdf')) {
    const name = sheetFileName(number, 'xjdf');
    const listed = { ...manifest, files: [...manifest.files, ...filesListed(files).files] };
    const md5 = new Map<string, string>();
    for (const { file } of listed.files) md5.set(file, await md5OfFile(staged.stagedPath(file), signal));
    const ticket = jobTicket({ ...productionOf(printed), manifest: listed, md5 });
    files.push({ name, kind: 'xjdf', ...(await staged.write(name, xmlText(ticket))) });
  }
  return files;
}

/** For each file that is printed a PDF of its size, and a DXF and an SVG in millimeters. */
async function writeContours(
  printed: Printed,
  manifest: Manifest,
  staged: StagedFolder,
  signal: AbortSignal,
): Promise<OutputFile[]> {
  const { job } = printed.state;
  const ink = contourInk(printed.state.artwork?.scan);
  const files: OutputFile[] = [];
  const write = async (name: string, content: Uint8Array | string) => {
    const path = `${CONTOURS_FOLDER}/${name}`;
    files.push({ name: path, kind: 'cut-contours', ...(await staged.write(path, content)) });
  };
  for (const contours of contoursOf(printed, manifest)) {
    signal.throwIfAborted();
    const { name, title } = contours;
    const about = JSON.stringify([PROGRAM_VERSION, ink, contours]);
    const pdf = await contourPdf(contours, ink, {
      title: `${title} cut contours`,
      author: job.shop?.name ?? '',
      subject: 'Cut contours',
      date: job.date,
      sha256: sha256Hex(new TextEncoder().encode(about)),
    });
    await write(`${name}_cut.pdf`, pdf);
    const trueSize = name.replace(/_enlarge-x[\d.]+$/, '');
    await write(`${trueSize}_cut_mm.dxf`, contourDxf(contours));
    await write(`${trueSize}_cut.svg`, contourSvg(contours));
  }
  return files;
}

/** A spot ink that the artwork does not have. */
export const contourInk = (scan: ArtworkScan | undefined): string =>
  cuttingInk(scan?.pages.flatMap(({ spots }) => spots.map(({ name }) => name)) ?? []);

function contoursOf(printed: Printed, { panels, strips }: Manifest): Contours[] {
  const { job, layouts } = printed.state;
  if (strips) {
    return productionOf(printed).productions.flatMap((production) =>
      jobStrips(job, production).map((strip) => stripContours(job, layouts, strip)),
    );
  }
  return panels.flatMap(({ panelId, file }) => {
    const layout = layouts.find((each) => each.panels.some(({ id }) => id === panelId));
    const panel = layout?.panels.find(({ id }) => id === panelId);
    return layout && panel ? [panelContours(job, layout, panel, parse(file).name)] : [];
  });
}

function productionOf({ state, panelIds, strip }: Printed) {
  const { job, layouts, measured } = state;
  const produced = panelIds ? layoutsOfPanels(layouts, [...panelIds]) : layouts;
  const production = strip
    ? productionWithStrip(job, produced, strip, measured)
    : jobProduction(job, produced, measured);
  return { job, productions: filmProductions(production) };
}
