import { pageRemarks } from '../../core/checks/page-remarks.ts';
import type { PageScan } from '../../core/checks/scan/schema.ts';
import { artworkCorrected } from '../../core/job/edits/edits.ts';
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import { decimalText, lengthText } from '../../core/measure/length-text.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import type { Result } from '../../core/measure/result.ts';
import { resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import { comparisonLines } from '../../core/output/comparison-text.ts';
import { type ArtworkPage, PAGE_BOXES } from '../../core/pdf/document/artwork.ts';
import {
  type ArtworkOnSides,
  artworkOnSides,
  sidesWithoutPage,
} from '../../core/proposal/artwork-on-sides.ts';
import { pagesSeen } from '../../core/proposal/page-seen.ts';
import { openArtwork, scanArtwork } from '../artwork/artwork-file.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import { artworkInVault } from '../services/artwork-in-vault.ts';
import { compareKeptArtworks } from '../services/compare-artworks.ts';
import { importArtworks } from '../services/import-artwork.ts';
import { artworkAtFile } from '../services/open-job-file.ts';
import { saveJobFromFile } from '../services/save-job.ts';
import type { ActParts } from '../services/service-parts.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingLines } from './finding-lines.ts';
import { printable, tableLines } from './terminal.ts';

interface ArtworkOptions {
  readonly box: PageBox;
  readonly password?: string;
}

export const inspectCommand =
  (path: string, options: ArtworkOptions) =>
  async ({ terminal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const opened = await openArtwork(path, options);
    if (!opened.ok) return opened;
    const { reference, pages, scan } = await scanArtwork(opened.value);
    const rows = pages.flatMap((page) =>
      PAGE_BOXES.map((box) => [
        box === PAGE_BOXES[0] ? `page ${page.number}` : '',
        box,
        ...boxNumbers(page, box),
        box === options.box ? 'origin' : '',
      ]),
    );
    const remarks = pageRemarks(opened.value);
    terminal.printResult({ reference, pages, remarks, scan }, [
      `${printable(reference.fileName)}, ${reference.sizeBytes} bytes, SHA-256 ${reference.sha256}`,
      ...tableLines([['', 'box', 'left', 'top', 'width', 'height', ''], ...rows]),
      ...scan.pages.flatMap(contentLines),
      ...scan.problems.map(({ page, message }) => `page ${page} could not be looked through: ${message}`),
      ...findingLines(remarks),
    ]);
    return resultOk('done');
  };

/** What a page is made of: inks, coarsest picture, fonts that are missing. */
function contentLines({ number, spaces, spots, images, fonts }: PageScan): string[] {
  const say = (what: string, names: readonly string[]) =>
    names.length === 0 ? [] : [`page ${number}, ${what}: ${names.map(printable).join(', ')}`];
  const coarsest = images
    .filter(({ isMask }) => !isMask)
    .map(({ ppiX, ppiY }) => Math.min(ppiX ?? Infinity, ppiY ?? Infinity))
    .filter(Number.isFinite)
    .slice(0, 1);
  return [
    ...say(
      'color spaces',
      spaces.map(({ label, objects }) => `${label} (${objects})`),
    ),
    ...say(
      'spot inks',
      spots.map(({ name, alternates }) => `${name} (else ${alternates.join(' or ')})`),
    ),
    ...say(
      'coarsest image, as drawn',
      coarsest.map((ppi) => `${decimalText(ppi, 1)} ppi`),
    ),
    ...say(
      'fonts not embedded',
      fonts.filter(({ kind }) => kind === 'missing').map(({ name }) => name),
    ),
  ];
}

function boxNumbers(page: ArtworkPage, box: PageBox): string[] {
  const { x, y, width, height } = page.boxes[box];
  return [x, y, width, height].map((length) => lengthText(length, 'mm'));
}

interface ImportOptions extends Omit<ArtworkOptions, 'box'> {
  readonly job: string;
  readonly box?: PageBox;
}

/** What a corrected artwork changes on the panels, where it was compared. */
interface ComparedImport {
  readonly comparison?: ArtworkComparison;
  readonly moves: ArtworkComparison['moves'];
  readonly lines: readonly string[];
}

/** The box that the sides of the job are placed in; of a job without artwork any. */
function boxOfImport({ artwork, sides }: Job, asked: PageBox | undefined): Result<PageBox> {
  if (!artwork || sides.every(({ page }) => page === undefined)) return resultOk(asked ?? 'crop');
  if (asked === undefined || asked === artwork.box) return resultOk(artwork.box);
  return resultProblem({
    code: 'artwork-box-other',
    message: `The sides of the job are placed from the ${artwork.box} box of their pages, not from the ${asked} box.`,
    remedy: 'Import it without --box; the box can be changed on the bench afterwards.',
  });
}

export const importCommand =
  (paths: readonly [string, ...string[]], { job: jobPath, password, box }: ImportOptions) =>
  async ({ terminal, tools, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> => {
    const job = await readJobFile(jobPath);
    if (!job.ok) return job;
    const boxed = boxOfImport(job.value, box);
    if (!boxed.ok) return boxed;
    return await withArchive(async (parts) => {
      const at = (path: string) =>
        artworkAtFile(path, { box: boxed.value, ...(password !== undefined && { password }) });
      const [first, ...others] = paths;
      const imported = await importArtworks(parts, [at(first), ...others.map(at)], tools);
      if (!imported.ok) return imported;
      const { reference } = imported.value;
      const compared = await comparedWithPresent(parts, job.value, reference, password, tools);
      if (!compared.ok) return compared;
      const corrected = artworkCorrected(job.value, { reference, moves: compared.value.moves });
      if (!corrected.ok) return corrected;
      const onSides = await artworkPlaced(parts, corrected.value, reference, password, tools);
      if (!onSides.ok) return onSides;
      const { job: updated, placed, remarks } = onSides.value;
      const { comparison } = compared.value;
      const saved = await saveJobFromFile(parts.archive, updated, now());
      if (!saved.ok) return saved;
      const written = await writeJobFile(jobPath, updated);
      if (!written.ok) return written;
      terminal.printResult({ reference, job: saved.value, placed, remarks, comparison }, [
        `${printable(reference.fileName)} is now the artwork of job ${printable(updated.number)}; ${jobPath} says so, and both are in the archive.`,
        ...(placed > 0 ? [`It was placed on ${placed} ${placed === 1 ? 'side' : 'sides'}.`] : []),
        ...[...remarks, ...compared.value.lines].map(printable),
      ]);
      return resultOk('done');
    });

    /** What a corrected artwork changes, where the job has artwork on its sides; its sides move to their pages of it. */
    async function comparedWithPresent(
      parts: ActParts,
      before: Job,
      after: ArtworkReference,
      password: string | undefined,
      tools: TaskTools,
    ): Promise<Result<ComparedImport>> {
      const { artwork, sides, displayUnit } = before;
      const isPlaced = sides.some(({ page }) => page !== undefined);
      if (!artwork || !isPlaced || artwork.sha256 === after.sha256) return resultOk({ moves: [], lines: [] });
      if ((await parts.archive.vault.state(artwork.sha256)) !== 'sound') {
        const line = `The artwork before it, ${artwork.fileName}, is not in the archive, so the two were not compared.`;
        return resultOk({ moves: [], lines: [line] });
      }
      const compared = await compareKeptArtworks(parts, { job: before, after }, () => password, tools);
      if (!compared.ok) return compared;
      const { value: comparison } = compared;
      const { moves } = comparison;
      return resultOk({ comparison, moves, lines: comparisonLines(comparison, displayUnit) });
    }

    /** The artwork on the sides that wait for it; its pages are looked through only where some do. */
    async function artworkPlaced(
      { archive, work }: Pick<ActParts, 'archive' | 'work'>,
      job: Job,
      reference: ArtworkReference,
      password: string | undefined,
      tools: TaskTools,
    ): Promise<Result<ArtworkOnSides>> {
      if (sidesWithoutPage(job).length === 0) return resultOk({ job, placed: 0, remarks: [] });
      const artwork = await artworkInVault(archive, reference, password);
      if (!artwork.ok) return artwork;
      const facts = await work.run(
        'artworkFacts',
        { ...artwork.value, archiveFolder: archive.folder },
        tools,
      );
      return facts.ok ? artworkOnSides(job, pagesSeen(facts.value)) : facts;
    }
  };
