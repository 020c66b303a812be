import { pageRemarks } from '../../core/checks/page-remarks.ts';
import type { PageScan } from '../../core/checks/scan/schema.ts';
import type { Job } from '../../core/job/schema.ts';
import { decimalText, lengthText } from '../../core/measure/length-text.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import type { Result } from '../../core/measure/result.ts';
import { resultOk } from '../../core/measure/result.ts';
import { type ArtworkPage, PAGE_BOXES } from '../../core/pdf/document/artwork.ts';
import {
  type ArtworkOnSides,
  artworkOnSides,
  sidesWithoutPage,
} from '../../core/proposal/artwork-on-sides.ts';
import { pagesSeen } from '../../core/proposal/page-seen.ts';
import { openArtwork, scanArtwork } from '../artwork/artwork-file.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import { importArtwork } from '../services/import-artwork.ts';
import { artworkAtFile } from '../services/open-job-file.ts';
import { saveJobFromFile } from '../services/save-job.ts';
import type { ActParts } from '../services/service-parts.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
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

export const importCommand =
  (path: string, options: ArtworkOptions & { readonly job: string }) =>
  async ({ terminal, tools, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> => {
    const job = await readJobFile(options.job);
    if (!job.ok) return job;
    return await withArchive(async (parts) => {
      const artwork = artworkAtFile(path, options);
      const imported = await importArtwork(parts, artwork, tools);
      if (!imported.ok) return imported;
      const { reference } = imported.value;
      const onSides = await artworkPlaced(parts, { ...job.value, artwork: reference }, artwork, tools);
      if (!onSides.ok) return onSides;
      const { job: updated, placed, remarks } = onSides.value;
      const saved = await saveJobFromFile(parts.archive, updated, now());
      if (!saved.ok) return saved;
      const written = await writeJobFile(options.job, updated);
      if (!written.ok) return written;
      terminal.printResult({ reference, job: saved.value, placed, remarks }, [
        `${printable(reference.fileName)} is now the artwork of job ${printable(updated.number)}; ${options.job} says so, and both are in the archive.`,
        ...(placed > 0 ? [`It was placed on ${placed} ${placed === 1 ? 'side' : 'sides'}.`] : []),
        ...remarks.map(printable),
      ]);
      return resultOk('done');
    });

    /** The artwork on the sides that wait for it; its pages are looked through only where some do. */
    async function artworkPlaced(
      { archive, work }: Pick<ActParts, 'archive' | 'work'>,
      job: Job,
      artwork: ArtworkAt,
      tools: TaskTools,
    ): Promise<Result<ArtworkOnSides>> {
      if (sidesWithoutPage(job).length === 0) return resultOk({ job, placed: 0, remarks: [] });
      const facts = await work.run('artworkFacts', { ...artwork, archiveFolder: archive.folder }, tools);
      return facts.ok ? artworkOnSides(job, pagesSeen(facts.value)) : facts;
    }
  };
