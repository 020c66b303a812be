/** The report of the artwork checks: every side with its findings numbered in a picture, then what the file is made of. */
import type { Job } from '../../job/schema.ts';
import type { Finding, Severity } from '../../layout/finding.ts';
import { findingsSorted } from '../../layout/findings.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import type { RasterPicture } from '../../sheets/drawing/drawing.ts';
import type { FontMetrics } from '../../sheets/drawing/font-library.ts';
import {
  blockGap,
  type FilledPages,
  fewestPages,
  filledPages,
  SPACINGS,
  spacedContext,
} from '../../sheets/fewest-pages.ts';
import { type Column, type FlowBlock, flowed } from '../../sheets/flow.ts';
import { bodyRect, type PageDraft, type Sheet, sheetsFromDrafts } from '../../sheets/page-frame.ts';
import { type SheetContext, sheetContext } from '../../sheets/sheet-context.ts';
import { scaleDesignation } from '../../sheets/sheet-scale.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../sheets/sheet-size.ts';
import { columnsOf } from '../../sheets/side-pages.ts';
import { textPages, wholeText } from '../../sheets/text-pages.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { findingsNumbered, type NumberedFinding } from './numbered-finding.ts';
import { reportPicture } from './report-picture.ts';
import { contentTables, findingsTable } from './report-tables.ts';

export const CHECK_REPORT = 'Artwork report';

export interface CheckReportOptions {
  readonly fonts: FontMetrics;
  /** The job's own choice where absent. */
  readonly sheet?: SheetSizeName;
  artworkPicture?(side: SideLayout['side']): RasterPicture | undefined;
}

/** Shares of the body that the picture of a side may take, best first. */
const PICTURE_SHARES: readonly number[] = [0.6, 0.45];

/** `findings` are those to be reported, of the artwork or of the whole job; the picture frames those that have a place. */
export function checkReportSheets(
  job: Job,
  layouts: readonly SideLayout[],
  findings: readonly Finding[],
  scan: ArtworkScan,
  options: CheckReportOptions,
): readonly Sheet[] {
  const context = sheetContext(job, options.fonts, SHEET_SIZES[options.sheet ?? job.output.mapSheet]);
  const numbered = findingsNumbered(findingsSorted(findings));
  const sideIds = new Set(layouts.map(({ side }) => side.id));
  const isOfSide = ({ finding }: NumberedFinding) => sideIds.has(finding.where.sideId ?? '');
  const general = numbered.filter((one) => !isOfSide(one));
  const pages = [
    ...generalPages(context, countsText(findings), [
      ...findingsTable(context, 'The artwork as a whole', general),
      ...contentTables(context, job, layouts, scan),
    ]),
    ...layouts.flatMap((layout) => {
      const own = numbered.filter(({ finding }) => finding.where.sideId === layout.side.id);
      return sidePages(context, layout, own, options.artworkPicture?.(layout.side));
    }),
  ];
  sheetsFromDrafts(context, CHECK_REPORT, pages);
  const long = context.longTexts.map(({ label, text }) => wholeText(context, label, text));
  if (long.length > 0) pages.push(...textPages(context, 'Texts in full', long));
  return sheetsFromDrafts(context, CHECK_REPORT, pages);
}

/** `Artwork report: 1 stop, 2 warnings, 5 notes` */
function countsText(findings: readonly Finding[]): string {
  const count = (severity: Severity, one: string, many: string) => {
    const found = findings.filter((finding) => finding.severity === severity).length;
    return `${found} ${found === 1 ? one : many}`;
  };
  const counts = [
    count('stop', 'stop', 'stops'),
    count('warn', 'warning', 'warnings'),
    count('note', 'note', 'notes'),
  ];
  return `${CHECK_REPORT}: ${counts.join(', ')}`;
}

function generalPages(context: SheetContext, title: string, blocks: readonly FlowBlock[]): PageDraft[] {
  const body = bodyRect(context.size);
  const pages: PageDraft[] = [];
  const free: Column[] = [];
  flowed(blocks, () => {
    if (free.length === 0) {
      const page = { head: { title: pages.length === 0 ? title : `${title}, continued` }, items: [] };
      pages.push(page);
      free.push(...columnsOf(page, body.x, body.y, body.width, body.height, 2));
    }
    return free.shift()!;
  });
  return pages;
}

/** A smaller picture, or rows a little closer, are worth a page that would hold next to nothing. */
function sidePages(
  context: SheetContext,
  layout: SideLayout,
  findings: readonly NumberedFinding[],
  artwork: RasterPicture | undefined,
): readonly PageDraft[] {
  const [best, ...others] = PICTURE_SHARES.flatMap((share) =>
    SPACINGS.map((spacing) => () => {
      return sidePagesFilled(spacedContext(context, spacing), layout, findings, artwork, share);
    }),
  );
  return fewestPages([best!, ...others]);
}

/** The picture of a side on top, its findings below it and on further pages. */
function sidePagesFilled(
  context: SheetContext,
  layout: SideLayout,
  findings: readonly NumberedFinding[],
  artwork: RasterPicture | undefined,
  pictureShare: number,
): FilledPages {
  const body = bodyRect(context.size);
  const { side } = layout;
  const room = { width: body.width, height: body.height * pictureShare };
  const picture = reportPicture(layout, findings, artwork, room, context.fonts);
  const title = `${side.code} ${side.name}: ${findings.length === 0 ? 'nothing found' : `${findings.length} found`}`;
  const first: PageDraft = {
    head: { title, scale: scaleDesignation(picture.oneTo) },
    items: picture.draw(body.x, body.y),
  };
  const pages = [first];
  const below = body.y + picture.heightMm;
  const free = columnsOf(first, body.x, below, body.width, body.y + body.height - below, 1);
  const blocks = findingsTable(context, `Found on ${side.code}`, findings);
  const nextColumn = () => {
    if (free.length === 0) {
      const page: PageDraft = { head: { title: `${title}, continued` }, items: [] };
      pages.push(page);
      free.push(...columnsOf(page, body.x, body.y, body.width, body.height, 1));
    }
    return free.shift()!;
  };
  const flow = blocks.length > 0 ? flowed(blocks, nextColumn, blockGap(context)) : { tears: 0, lastFill: 1 };
  return filledPages(pages, flow, [free.length, 1]);
}
