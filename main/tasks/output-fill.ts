/** The small pieces that print in the waste beside the panels of an output: their files, and where they lie. */
import { posix } from 'node:path';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { foundIn, valueAt } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ManifestFill } from '../../core/output/manifest.ts';
import { fillItemOf, filmFill, isOnStrip } from '../../core/production/fill-list.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import { filmProductions, jobProduction } from '../../core/production/job-production.ts';
import { jobStrips } from '../../core/production/job-strips.ts';
import type { PlacedPanel } from '../../core/rolls/roll-use.ts';
import type { FillItem, FillSource } from '../../core/shop/fill-item.ts';
import { FILL_FOLDER, type StagedFolder } from '../files/staged-folder.ts';
import type { OutputRequest } from './output-request.ts';

export interface OutputFill {
  /** Undefined where nothing lies beside the panels. */
  readonly fill: readonly ManifestFill[] | undefined;
  readonly files: readonly OutputFile[];
  /** By the id of their item. */
  readonly items: ReadonlyMap<string, FillFile>;
}

/** A file of the fill list in the output. */
export interface FillFile {
  readonly item: FillItem;
  readonly name: string;
  readonly sha256: string;
}

const NONE: OutputFill = { fill: undefined, files: [], items: new Map() };

/** A selection of panels is nested differently from the whole, so it has no fill pieces. */
export async function stageFill(
  { state: { job, layouts }, panelIds, fillPaths }: OutputRequest,
  staged: StagedFolder,
  signal: AbortSignal,
): Promise<Result<OutputFill, Problem>> {
  if (panelIds) return resultOk(NONE);
  const fill: ManifestFill[] = [];
  const files = new Map<string, OutputFile>();
  const items = new Map<string, FillFile>();
  for (const production of filmProductions(jobProduction(job, layouts))) {
    const strips = job.output.files === 'strips' ? jobStrips(job, production) : [];
    for (const piece of filmFill(production).placed) {
      const item = fillItemOf(production, piece);
      const { source } = item;
      const name = source && fillFileName(source);
      if (source && name !== undefined && !files.has(name)) {
        const path = fillPaths?.find(({ sha256 }) => sha256 === source.sha256)?.path;
        if (path === undefined) return resultProblem(fileMissing(item, source));
        const written = await staged.copy(name, path, signal);
        files.set(name, { name, kind: 'fill', ...written });
      }
      if (name !== undefined) items.set(item.id, { item, name, sha256: valueAt(files, name).sha256 });
      const strip = isOnStrip(job, item)
        ? strips.find((each) =>
            each.strip.bands.some(({ panels }) =>
              panels.some((panel) => panel.item.panelId === piece.item.panelId),
            ),
          )
        : undefined;
      const { xMm, yMm, turned, rollId } = piece.place;
      fill.push({
        label: piece.item.label,
        kind: item.kind,
        ...(name !== undefined && { file: name }),
        roll: foundIn(production.rolls, ({ id }) => id === rollId).label,
        beside: labelsBeside(production, piece),
        ...(strip && { strip: strip.number }),
        ...{ xMm, yMm, widthMm: item.widthMm, heightMm: item.heightMm, turned },
        ...(source && {
          of: {
            jobId: source.jobId,
            jobNumber: source.jobNumber,
            output: source.output,
            label: source.panelLabel,
          },
        }),
      });
    }
  }
  return resultOk(fill.length === 0 ? NONE : { fill, files: [...files.values()], items });
}

/** A band extends from cut to cut across the roll, so a piece beside panels is inside one band. */
function labelsBeside({ plan }: FilmProduction, { place }: PlacedPanel): string[] {
  const use = foundIn(plan.uses, ({ rollId }) => rollId === place.rollId);
  const band = foundIn(use.bands, ({ startMm, endMm }) => place.yMm >= startMm && place.yMm < endMm);
  return [...new Set(band.panels.map(({ item }) => item.label))];
}

const fillFileName = ({ fileName, output }: FillSource): string =>
  `${FILL_FOLDER}/output-${output}_${posix.basename(fileName)}`;

const fileMissing = ({ label }: FillItem, { jobNumber, output }: FillSource): Problem => ({
  code: 'fill-file-missing',
  message: `The file of ${label} on the fill list, from Output ${output} of ${jobNumber}, is not whole in the archive.`,
  remedy: 'Take it off the fill list, or write that output again.',
});
