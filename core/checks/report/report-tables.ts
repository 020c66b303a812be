import { styleOf } from '../../drawing/text-block.ts';
import type { Job } from '../../job/schema.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { decimalText } from '../../measure/length-text.ts';
import { type Cell, tableBlock } from '../../sheets/blocks.ts';
import type { FlowBlock } from '../../sheets/flow.ts';
import type { SheetContext } from '../../sheets/sheet-context.ts';
import { distanceText, pageChecks } from '../check-context.ts';
import { artworkLimits } from '../findings/artwork-checks.ts';
import { imagesOnSide, ppiText } from '../findings/resolution-findings.ts';
import { usedSpots } from '../findings/spot-findings.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { ppiAsked } from '../viewing-distance.ts';
import { NOTHING_TO_DO } from './designer-findings.ts';
import { DESIGNER_WEIGHTS, type NumberedFinding, severityText } from './numbered-finding.ts';

const MAX_ROWS = 40;

/** Findings with their numbers, the problem and what to do. */
export function findingsTable(
  context: SheetContext,
  title: string,
  findings: readonly NumberedFinding[],
  isForDesigner = false,
): FlowBlock[] {
  if (findings.length === 0) return [];
  const columns = [
    { head: 'No.', share: 0.08 },
    { head: 'Weight', share: 0.12 },
    { head: 'What was found', share: 0.46 },
    { head: 'What to do', share: 0.34 },
  ];
  const rows = findings.map(({ number, finding }): Cell[] => [
    { text: String(number), style: styleOf('bold', context.size.textMm) },
    { text: isForDesigner ? DESIGNER_WEIGHTS[finding.severity] : severityText(context.job, finding) },
    { text: finding.message },
    { text: finding.remedy },
  ]);
  return [tableBlock(context, title, columns, rows)];
}

/** The designer's tasks, most serious first; the findings themselves are next to the picture of their side. */
export function requestsTable(
  context: SheetContext,
  layouts: readonly SideLayout[],
  findings: readonly NumberedFinding[],
): FlowBlock[] {
  const codes = new Map(layouts.map(({ side }) => [side.id, side.code]));
  const asked = findings.filter(({ finding }) => !finding.remedy.startsWith(NOTHING_TO_DO));
  if (asked.length === 0) return [];
  const columns = [
    { head: 'No.', share: 0.08 },
    { head: 'Weight', share: 0.16 },
    { head: 'Side', share: 0.14 },
    { head: 'What to do', share: 0.62 },
  ];
  const rows = asked.map(({ number, finding }): Cell[] => [
    { text: String(number), style: styleOf('bold', context.size.textMm) },
    { text: DESIGNER_WEIGHTS[finding.severity] },
    { text: codes.get(finding.where.sideId ?? '') ?? 'all' },
    { text: finding.remedy },
  ]);
  return [tableBlock(context, 'What to do, most serious first', columns, rows)];
}

/** What the artwork is made of: color spaces, spots, fonts, resolution of each side. */
export function contentTables(
  context: SheetContext,
  job: Job,
  layouts: readonly SideLayout[],
  scan: ArtworkScan,
): FlowBlock[] {
  const checks = pageChecks(job, layouts, scan, artworkLimits(job));
  const table = (title: string, heads: readonly (readonly [string, number])[], rows: readonly string[][]) =>
    rows.length === 0
      ? []
      : [
          tableBlock(
            context,
            rows.length > MAX_ROWS ? `${title} (the first ${MAX_ROWS} of ${rows.length})` : title,
            heads.map(([head, share]) => ({ head, share })),
            rows.slice(0, MAX_ROWS).map((cells) => cells.map((text): Cell => ({ text }))),
          ),
        ];
  const spaces = checks.flatMap(({ page }) =>
    page.spaces.map(({ label, objects }) => [String(page.number), label, String(objects)]),
  );
  const spots = usedSpots(checks).map(({ name, alternates, pages }) => [
    name,
    alternates.join(' or '),
    pages.join(', '),
  ]);
  const fonts = checks.flatMap(({ page }) =>
    page.fonts.map(({ name, kind }) => [
      String(page.number),
      name,
      kind === 'missing' ? 'NOT EMBEDDED' : kind,
    ]),
  );
  const images = checks
    .flatMap(({ sides }) => sides)
    .map((side) => {
      const found = imagesOnSide(side);
      const [coarsest] = found;
      return [
        side.side.code,
        distanceText(job, side.distance),
        ppiText(ppiAsked(side.distance, side.limits)),
        coarsest ? ppiText(coarsest.ppi) : 'no image',
        String(found.length),
      ];
    });
  const heaviest = checks
    .flatMap(({ page }) => [
      ...page.colors,
      ...page.blends,
      ...page.imageInks.map((image) => ({ percent: image.maxPercent })),
    ])
    .reduce((most, { percent }) => Math.max(most, percent), 0);
  const ink = [
    [
      heaviest === 0 ? 'under 150 %' : `${decimalText(heaviest, 0)} %`,
      `${decimalText(artworkLimits(job).maxInkPercent, 0)} %`,
    ],
  ];
  return [
    ...table(
      'Resolution at finished size',
      [
        ['Side', 0.14],
        ['Seen from', 0.2],
        ['Asked for', 0.22],
        ['Coarsest', 0.24],
        ['Images', 0.2],
      ],
      images,
    ),
    ...table(
      'Spot inks',
      [
        ['Ink', 0.5],
        ['Else', 0.3],
        ['Pages', 0.2],
      ],
      spots,
    ),
    ...table(
      'Color spaces',
      [
        ['Page', 0.14],
        ['Space', 0.62],
        ['Objects', 0.24],
      ],
      spaces,
    ),
    ...table(
      'Heaviest ink by the file’s color values',
      [
        ['Heaviest on the pages', 0.5],
        ['Limit of the film', 0.5],
      ],
      checks.length === 0 ? [] : ink,
    ),
    ...table(
      'Fonts',
      [
        ['Page', 0.14],
        ['Font', 0.52],
        ['In the file', 0.34],
      ],
      fonts,
    ),
  ];
}
