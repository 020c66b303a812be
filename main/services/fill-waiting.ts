/** What of the archive waits to be printed and could lie in the waste beside panels: patches and reprints. */
import { jobFilms, jobOnFilm } from '../../core/job/job-films.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { foundIn } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { filmName } from '../../core/production/shared-film.ts';
import { byNeed } from '../../core/rolls/fill-plan.ts';
import { rollStockFromPrinter } from '../../core/rolls/from-job.ts';
import { rollPrintWidth } from '../../core/rolls/roll-lengths.ts';
import type { FillItem } from '../../core/shop/fill-item.ts';
import { needOfKind } from '../../core/shop/fill-kind.ts';
import { materialKey } from '../../core/shop/stock-text.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { readKeptManifest } from './kept-manifest.ts';
import type { ActParts } from './service-parts.ts';

/** Older ones were printed without being entered. */
const MOST_WAITING = 100;

/**
 * Verified panels of reprints and patches that were not entered as printed, of any job on this film, the most needed
 * first.
 */
export async function fillWaiting(
  { archive }: Pick<ActParts, 'archive'>,
  { job, filmId }: { readonly job: Job; readonly filmId: string },
  tools: TaskTools,
): Promise<Result<FillItem[]>> {
  const onFilm = jobOnFilm(job, filmId);
  const widest = rollPrintWidth(rollStockFromPrinter(onFilm.printer, 'any', 'any'));
  const waiting: Omit<FillItem, 'id'>[] = [];
  const outputs = await archive.outputs.latestReprints(MOST_WAITING);
  for (const [done, output] of outputs.entries()) {
    tools.report({ what: 'Looking for patches and reprints that wait', done, total: outputs.length });
    if (output.verification.state !== 'verified' || output.record?.offPrinter !== undefined) continue;
    const found = await waitingOf(archive, output, onFilm);
    waiting.push(...found.filter(({ widthMm, heightMm }) => Math.min(widthMm, heightMm) < widest));
  }
  return resultOk(waiting.toSorted(byNeed).map((item, index) => ({ ...item, id: `waiting-${index + 1}` })));
}

async function waitingOf(
  archive: Archive,
  output: ArchivedOutput,
  onFilm: Job,
): Promise<Omit<FillItem, 'id'>[]> {
  const manifest = await readKeptManifest(archive.vault, output);
  const of = jobFromJson(output.document);
  // One that cannot be read is none that can be printed.
  if (!manifest.ok || !of.ok) return [];
  const printed = new Set(
    (output.usedRolls ?? []).flatMap(({ kind, panelLabels }) => (kind === 'printed' ? panelLabels : [])),
  );
  return manifest.value.panels
    .filter((panel) => !printed.has(panel.label) && isAlike(of.value, panel, onFilm))
    .map((panel): Omit<FillItem, 'id'> => {
      const kind = panel.patch ? ('patch' as const) : ('reprint' as const);
      const { label, file, filmBox } = panel;
      const { sha256 } = foundIn(output.files, ({ name }) => name === file);
      const whose = output.unitNumber === undefined ? '' : ` for ${output.unitNumber}`;
      return {
        label: `${of.value.number} ${label}${whose}`.slice(0, 100),
        ...{ kind, need: needOfKind(kind), widthMm: filmBox.widthMm, heightMm: filmBox.heightMm, count: 1 },
        source: {
          jobId: output.jobId,
          jobNumber: of.value.number,
          output: output.number,
          panelLabel: label,
          fileName: file,
          sha256,
          artworkSha256: output.artworkSha256,
        },
      };
    });
}

/** Printed on the same film, and mirrored by the same. */
function isAlike(job: Job, { film }: ManifestPanel, onFilm: Job): boolean {
  const { id } = jobFilms(job).find(({ letter }) => letter === film?.letter) ?? jobFilms(job)[0];
  const own = jobOnFilm(job, id);
  return (
    materialKey(filmName(own)) === materialKey(filmName(onFilm)) && own.film.mirror === onFilm.film.mirror
  );
}
