import { randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import type { ArtworkPageFacts } from '../../core/contract/verbs-artwork.ts';
import { jobEmpty } from '../../core/job/defaults.ts';
import { sideAdd } from '../../core/job/edits/edits.ts';
import { sideSuggested } from '../../core/job/edits/side-suggested.ts';
import { jobWithVehicle } from '../../core/job/edits/vehicle-begin.ts';
import { type ArtworkReference, type Job, VehicleKind } from '../../core/job/schema.ts';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { withFirstKind } from '../../core/job/vehicles.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { writeJobFile } from '../job/job-file.ts';
import { importArtworks } from '../services/import-artwork.ts';
import { artworkAtFile } from '../services/open-job-file.ts';
import { saveJobFromFile } from '../services/save-job.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { sidesTyped } from './sides-typed.ts';
import { printable, tableLines } from './terminal.ts';

interface BeginOptions {
  readonly artwork?: readonly string[];
  readonly number: string;
  readonly customer: string;
  readonly name?: string;
  readonly scale: number;
  readonly inches: boolean;
  readonly box: PageBox;
  readonly password?: string;
  readonly kind: string;
  /** `left=6000x2600`, where there is no artwork yet. */
  readonly side: readonly string[];
  /** `left=Panel van` by the name of a saved layout. */
  readonly savedLayout: readonly string[];
}

/** Writes a new job file: a side for every page of the artwork or for each given size, each of one panel so far. */
export const beginCommand =
  (path: string, options: BeginOptions) =>
  async ({ terminal, tools, now, locale, withArchive }: CommandContext): Promise<Result<CommandOutcome>> => {
    if (existsSync(path)) {
      return resultProblem({
        code: 'file-exists',
        message: `${path} exists already.`,
        remedy: options.artwork
          ? `Select another name, or give that job another artwork with: panelwright import ${options.artwork.join(' ')} --job ${path}`
          : 'Select another name.',
      });
    }
    if ((options.artwork === undefined) === (options.side.length === 0 && options.savedLayout.length === 0)) {
      return resultProblem({
        code: 'begin-with-what',
        message: 'A job begins with its artwork or with the sizes of its sides.',
        remedy: 'Give either --artwork, or --side and --saved-layout for each side of the vehicle.',
      });
    }
    const kind = VehicleKind.safeParse(options.kind);
    if (!kind.success) {
      return resultProblem({
        code: 'vehicle-kind-unknown',
        message: `There is no kind of vehicle “${printable(options.kind)}”.`,
        remedy: `Select from: ${VehicleKind.options.join(', ')}.`,
      });
    }
    const given = {
      id: randomUUID(),
      number: options.number,
      name: options.name ?? options.number,
      customer: options.customer,
      date: now().slice(0, 10),
    };
    return await withArchive(async (parts) => {
      const { profile = shopDefaults(locale), savedLayouts } = await parts.archive.shelf.items();
      const empty: Job = {
        ...withFirstKind(jobEmpty(given, profile), kind.data),
        ...(options.inches && { displayUnit: 'in' }),
      };
      let begun: Result<Job>;
      let reference: ArtworkReference | undefined;
      const [first, ...others] = (options.artwork ?? []).map((each) => artworkAtFile(each, options));
      if (first === undefined) {
        const sides = sidesTyped(options, savedLayouts, empty);
        begun = sides.ok ? jobWithVehicle(empty, sides.value) : sides;
      } else {
        const imported = await importArtworks(parts, [first, ...others], tools);
        if (!imported.ok) return imported;
        reference = imported.value.reference;
        const drawn = { ...empty, artwork: reference, scale: options.scale };
        begun = withSides(drawn, imported.value.pages, options.box);
      }
      if (!begun.ok) return begun;
      const job = begun.value;
      const saved = await saveJobFromFile(parts.archive, job, now());
      if (!saved.ok) return saved;
      const written = await writeJobFile(path, job);
      if (!written.ok) return written;
      terminal.printResult({ job: saved.value }, [
        reference
          ? `${path} holds job ${printable(job.number)} on ${printable(reference.fileName)}, drawn at 1:${options.scale}; both are in the archive.`
          : `${path} holds job ${printable(job.number)}, which has no artwork yet; it is in the archive.`,
        ...sideLines(job),
        'Write the seams into the job file, or have panel layouts suggested: panelwright suggest --help',
      ]);
      return resultOk('done');
    });
  };

function withSides(empty: Job, pages: readonly ArtworkPageFacts[], box: PageBox): Result<Job> {
  let job = empty;
  for (const { number, boxes } of pages) {
    const { widthMm, heightMm } = boxes[box];
    const side = sideSuggested(job, number, { x: 0, y: 0, width: widthMm, height: heightMm });
    const added = sideAdd(job, { side });
    if (!added.ok) return added;
    job = added.value;
  }
  return resultOk(job);
}

function sideLines({ sides, scale, displayUnit }: Job): string[] {
  return tableLines([
    ['side', 'name', 'page', 'finished width', 'height'],
    ...sides.map(({ code, name, page, artworkRect: { widthMm, heightMm } }) => [
      code,
      name,
      page === undefined ? 'none yet' : String(page),
      lengthText(widthMm * scale, displayUnit),
      lengthText(heightMm * scale, displayUnit),
    ]),
  ]);
}
