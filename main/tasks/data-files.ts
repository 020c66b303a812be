/** What an output has for other programs: the panel table, the job ticket. */
import type { JobKnown } from '../../core/checks/findings/job-findings.ts';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { jobTicket } from '../../core/exchange/job-ticket.ts';
import { xmlText } from '../../core/exchange/xml.ts';
import type { ColorStrip } from '../../core/output/color-strip.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import { panelTableCsv } from '../../core/output/panel-table.ts';
import { layoutsOfPanels } from '../../core/output/reprint-layouts.ts';
import { type SheetKind, sheetFileName } from '../../core/output/sheet-kind.ts';
import { filmProductions, jobProduction } from '../../core/production/job-production.ts';
import { productionWithStrip } from '../../core/production/strip-production.ts';
import { md5OfFile } from '../files/sha256.ts';
import type { StagedFolder } from '../files/staged-folder.ts';

/** What is printed, as the papers of the output show it. */
interface Printed {
  readonly state: JobKnown;
  /** Absent: all panels. */
  readonly panelIds?: ReadonlySet<string> | undefined;
  /** Of a reprint: what is printed before its panels. */
  readonly strip?: ColorStrip | undefined;
}

/** `manifest` lists all that lies in `staged` already. */
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
  if (kinds.includes('xjdf')) {
    const name = sheetFileName(number, 'xjdf');
    const md5 = new Map<string, string>();
    for (const { file } of manifest.files) md5.set(file, await md5OfFile(staged.stagedPath(file), signal));
    const ticket = jobTicket({ ...productionOf(printed), manifest, md5 });
    files.push({ name, kind: 'xjdf', ...(await staged.write(name, xmlText(ticket))) });
  }
  return files;
}

function productionOf({ state, panelIds, strip }: Printed) {
  const { job, layouts, measured } = state;
  const produced = panelIds ? layoutsOfPanels(layouts, [...panelIds]) : layouts;
  const production = strip
    ? productionWithStrip(job, produced, strip, measured)
    : jobProduction(job, produced, measured);
  return { job, productions: filmProductions(production) };
}
