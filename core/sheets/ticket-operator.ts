/** Settings of the printer operator, with blanks to record them for a reprint. */
import { styleOf } from '../drawing/text-block.ts';
import { jobFilms } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { isPerforated } from '../job/window-film.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { panelFileName } from '../output/file-name.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { RECORD_FIELDS, type RecordField } from '../output/record-fields.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { isStripJob, jobStrips } from '../production/job-strips.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../shop/artwork-limits.ts';
import { itemPanelId } from '../shop/rolls.ts';
import { type Cell, tableBlock } from './blocks.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLengthWithUnit } from './sheet-length.ts';

/** Requirements of the artwork for the RIP. */
export interface PrintingFacts {
  /** Printing conditions that the artwork was made for. */
  readonly outputIntents: readonly string[];
  readonly spots: readonly { readonly name: string; readonly alternates: readonly string[] }[];
  readonly overprints: boolean;
}

export interface OperatorKnown {
  /** Record of this output, as far as entered. */
  readonly record?: ProductionRecord | undefined;
  /** Absent where the artwork was not scanned. */
  readonly facts?: PrintingFacts | undefined;
  /** In a reprint: the record of the first output. */
  readonly first?: ProductionRecord | undefined;
}

/**
 * Required settings of job and artwork, beside blanks for the settings used. In a reprint also those of the first
 * output, as far as entered. Keeps TK14.
 */
export function operatorBlock(
  context: SheetContext,
  layouts: readonly SideLayout[],
  production: FilmProduction,
  { facts, first = {}, record = {} }: OperatorKnown,
): FlowBlock {
  const reprint = context.output?.reprint;
  const asked = askedOf(context.job, production, facts);
  const rows = RECORD_FIELDS.filter(([field]) => isOnTicket(field)).flatMap(([field, name]): Cell[][] => {
    const said = asked[field] ?? [''];
    return said.map((text, index): Cell[] => [
      { text: index === 0 ? name : '' },
      { text },
      ...(reprint ? [{ text: index === 0 ? (first[field] ?? '') : '' }] : []),
      { text: index === 0 ? (record[field] ?? '') : '' },
    ]);
  });
  const files: Cell[] = [{ text: 'Files' }, { text: filesText(context.job, layouts, production) }];
  return tableBlock(
    context,
    'Operator: enter what was set at the output, too',
    reprint
      ? [
          { head: 'What', share: 0.2 },
          { head: 'Asked for', share: 0.32 },
          { head: `Output ${reprint.of}`, share: 0.24 },
          { head: 'Set now', share: 0.24 },
        ]
      : [
          { head: 'What', share: 0.24 },
          { head: 'Asked for', share: 0.44 },
          { head: 'Set', share: 0.32 },
        ],
    [feedRow(context.job, layouts, production), ...filmRows(context.job), ...rows, files],
  );
}

/** The other fields are in the film and laminate table, in the band, or are signed. */
const isOnTicket = (field: RecordField): boolean =>
  !['filmLot', 'laminateLot', 'offPrinter', 'enteredBy'].includes(field);

function askedOf(
  job: Job,
  { coverage }: FilmProduction,
  facts: PrintingFacts | undefined,
): Partial<Record<RecordField, readonly string[]>> {
  const limit = (job.artworkLimits ?? DEFAULT_ARTWORK_LIMITS).maxInkPercent;
  const reached = coverage.worst && Math.round(coverage.worst.percent);
  const over = reached !== undefined && reached > limit ? ': OVER THE LIMIT' : '';
  return {
    printer: [job.printer.name],
    inkLimit: [
      `artwork ${limit} %${reached === undefined ? '' : `, panels reach about ${reached} %`}${over}; profile ______ %`,
    ],
    ...(facts && {
      outputIntent: facts.outputIntents.length > 0 ? facts.outputIntents : ['none in the artwork'],
      spotInks:
        facts.spots.length > 0
          ? facts.spots.map(({ name, alternates }) => `${name}, else ${alternates.join(' or ')}`)
          : ['none'],
      overprint: [
        facts.overprints ? 'the artwork overprints: the RIP must do so, too' : 'none in the artwork',
      ],
    }),
  };
}

/** Where the feed error is compensated, once, and how to check it. */
function feedRow(job: Job, layouts: readonly SideLayout[], production: FilmProduction): Cell[] {
  const feed = production.rules.feedCompensationPercent;
  const check = tickToTick(layouts, production);
  const long = check && sheetLengthWithUnit(check.lengthMm, job.displayUnit);
  const how = check ? ` Check tick to tick over ${check.label}: ${long}.` : '';
  const who =
    feed === 0
      ? 'RIP scale 100 % both ways: no feed error is entered for the printer.'
      : `RIP scale 100 % across, ${(100 + feed).toFixed(2)} % along: by the RIP alone, not by the printer as well.`;
  return [{ text: 'Feed compensation' }, { text: `${who}${how}` }];
}

/** RIP requirements of a film that is seen through or is not white. */
function filmRows(job: Job): Cell[][] {
  const { mirror, whitePlate } = job.film;
  const bold = styleOf('bold', 3.5);
  const mirrored =
    mirror === 'rip'
      ? 'MIRROR in the RIP, once: the files are not mirrored. Texts in the border then read through the film.'
      : 'DO NOT MIRROR in the RIP: the files are mirrored already. Texts in the border read on the printed face.';
  return [
    ...(isPerforated(job, jobFilms(job)[0])
      ? [
          [
            { text: 'Perforated film' },
            {
              text: 'for glass: laminate with optically clear laminate alone, so that the holes stay clear',
              style: bold,
            },
          ],
        ]
      : []),
    ...(mirror ? [[{ text: 'Mirror' }, { text: mirrored, style: bold }]] : []),
    ...(whitePlate === undefined
      ? []
      : [[{ text: 'White plate' }, { text: `spot ink ${whitePlate} prints as white`, style: bold }]]),
  ];
}

/** The panel longest along the film, where a feed error shows most, and the distance of its ticks. */
export function tickToTick(
  layouts: readonly SideLayout[],
  { plan }: FilmProduction,
): { readonly label: string; readonly lengthMm: number } | undefined {
  const turned = new Map(plan.placements.map((place) => [itemPanelId(place.panelId), place.turned]));
  const along = ({ id, net }: Panel) => (turned.get(id) ? net.width : net.height);
  const placed = layouts
    .flatMap(({ panels }) => panels)
    // Ticks of a shaped panel are not perpendicular to each other.
    .filter(({ id, shape }) => turned.has(id) && !shape);
  const [longest] = placed.toSorted((a, b) => along(b) - along(a));
  return longest && { label: longest.label, lengthMm: along(longest) };
}

function filesText(job: Job, layouts: readonly SideLayout[], production: FilmProduction): string {
  const { size } = job.output;
  const names = isStripJob(job)
    ? jobStrips(job, production).map(({ fileName }) => fileName)
    : layouts.flatMap(({ panels }) =>
        panels.map(({ label }) =>
          panelFileName(job.number, label, size.kind === 'reduction' ? size.factor : 1),
        ),
      );
  const [first] = names;
  if (first === undefined) return 'none';
  return names.length === 1 ? first : `${first} and ${names.length - 1} more, each by its number`;
}
