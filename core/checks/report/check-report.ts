/** The report of the artwork checks: every side with its findings numbered in a picture, then what the file is made of. */

import type { RasterPicture } from '../../drawing/drawing.ts';
import type { FontMetrics } from '../../drawing/font-library.ts';
import type { Finding, Severity } from '../../findings/finding.ts';
import { findingsSorted } from '../../findings/layout/findings.ts';
import type { Job } from '../../job/schema.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { present } from '../../measure/present.ts';
import { columnPages, columnsOf } from '../../sheets/column-pages.ts';
import {
  type FilledPages,
  fewestPages,
  pagesFilled,
  SPACINGS,
  spacedContext,
} from '../../sheets/fewest-pages.ts';
import { bodyRect, type PageDraft, type Sheet } from '../../sheets/page-frame.ts';
import { type SheetContext, sheetContext } from '../../sheets/sheet-context.ts';
import { scaleDesignation } from '../../sheets/sheet-scale.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../sheets/sheet-size.ts';
import { sheetsWithTexts, textPages } from '../../sheets/text-pages.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { DESIGNER_WEIGHTS, findingsNumbered, type NumberedFinding } from './numbered-finding.ts';
import { reportPicture } from './report-picture.ts';
import { contentTables, findingsTable, requestsTable } from './report-tables.ts';

export const CHECK_REPORT = 'Artwork report';

export interface CheckReportOptions {
  readonly fonts: FontMetrics;
  /** Sheet size; absent: the job's sheet size. */
  readonly sheet?: SheetSizeName;
  artworkPicture?(side: SideLayout['side']): RasterPicture | undefined;
  /** Whether severities are also explained to the designer in words. */
  readonly isForDesigner?: boolean;
}

/** Shares of the body that the picture of a side may use, best first. */
const PICTURE_SHARES: readonly number[] = [0.6, 0.45];

/**
 * `findings` are those to report, of the artwork or of the whole job; the picture frames the ones that have a place.
 */
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
  const { isForDesigner } = options;
  const title = countsText(findings, isForDesigner);
  const whole = findingsTable(context, 'The artwork as a whole', general, isForDesigner);
  const content = contentTables(context, job, layouts, scan);
  const sides = layouts.flatMap((layout) => {
    const own = numbered.filter(({ finding }) => finding.where.sideId === layout.side.id);
    return sidePages(context, layout, own, options);
  });
  // The designer's report begins with what to do and ends with the contents of the file.
  const pages = isForDesigner
    ? [
        ...textPages(context, title, [...requestsTable(context, layouts, numbered), ...whole]),
        ...sides,
        ...textPages(context, 'What the artwork is made of', content),
      ]
    : [...textPages(context, title, [...whole, ...content]), ...sides];
  return sheetsWithTexts(context, CHECK_REPORT, pages);
}

/** `Artwork report: 1 stop, 2 warnings, 5 notes` */
function countsText(findings: readonly Finding[], isForDesigner = false): string {
  const count = (severity: Severity, one: string, many: string) => {
    const found = findings.filter((finding) => finding.severity === severity).length;
    return `${found} ${found === 1 ? one : many}`;
  };
  if (isForDesigner) {
    const told = (['stop', 'warn', 'note'] as const).map((severity) => {
      const words = DESIGNER_WEIGHTS[severity];
      return count(severity, words, words);
    });
    return `Findings for the designer: ${told.join(', ')}`;
  }
  const counts = [
    count('stop', 'stop', 'stops'),
    count('warn', 'warning', 'warnings'),
    count('note', 'note', 'notes'),
  ];
  return `${CHECK_REPORT}: ${counts.join(', ')}`;
}

/** A smaller picture or slightly tighter rows are better than a page with almost nothing on it. */
function sidePages(
  context: SheetContext,
  layout: SideLayout,
  findings: readonly NumberedFinding[],
  options: CheckReportOptions,
): readonly PageDraft[] {
  const [best, ...others] = PICTURE_SHARES.flatMap((share) =>
    SPACINGS.map((spacing) => () => {
      return sidePagesFilled(spacedContext(context, spacing), layout, findings, options, share);
    }),
  );
  return fewestPages([present(best, 'A way to fill the pages of a side'), ...others]);
}

/** The picture of a side at the top, its findings below it and on further pages. */
function sidePagesFilled(
  context: SheetContext,
  layout: SideLayout,
  findings: readonly NumberedFinding[],
  { fonts: _, artworkPicture, isForDesigner }: CheckReportOptions,
  pictureShare: number,
): FilledPages {
  const body = bodyRect(context.size);
  const { side } = layout;
  const room = { width: body.width, height: body.height * pictureShare };
  const picture = reportPicture(layout, findings, artworkPicture?.(side), room, context.fonts);
  const title = `${side.code} ${side.name}: ${findings.length === 0 ? 'nothing found' : `${findings.length} found`}`;
  const first: PageDraft = {
    head: { title, scale: scaleDesignation(picture.oneTo) },
    items: picture.draw(body.x, body.y),
  };
  const below = body.y + picture.heightMm;
  const free = columnsOf(
    first,
    { xMm: body.x, yMm: below, widthMm: body.width, heightMm: body.y + body.height - below },
    1,
  );
  const columns = columnPages(context, title, 1, { page: first, columns: free });
  return pagesFilled(
    context,
    findingsTable(context, `Found on ${side.code}`, findings, isForDesigner),
    columns,
  );
}
