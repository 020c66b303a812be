/**
 * The offer to a customer: the vehicle, its sides, film and laminate, the prices with their range, and a place to sign.
 */
import type { Item, RasterPicture } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { linesHeight, styleOf, textLines } from '../drawing/text-block.ts';
import { hasSeveralFilms, jobFilm, jobOnFilm } from '../job/job-films.ts';
import type { Job, Side } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import { vehicleText } from '../job/vehicles.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { figureShown } from '../measure/figure-units.ts';
import { decimalText } from '../measure/length-text.ts';
import { filmProductions, type JobProduction } from '../production/job-production.ts';
import { jobQuote, priceText, type Quote, type QuoteLine } from '../production/quote.ts';
import { dateText } from '../shop/date-text.ts';
import { boldStyle, type Cell, listBlock, signOffBlock, tableBlock } from './blocks.ts';
import { columnPages } from './column-pages.ts';
import { blockWhole, type FlowBlock, flowed } from './flow.ts';
import { ownerText, type Sheet } from './page-frame.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetSize, UNIT_NAME } from './sheet-length.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { bareSideItems } from './side-picture.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const QUOTE = 'Quote';

export interface QuoteOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  readonly sheet?: SheetSizeName;
  /** Picture of a side, where its artwork is known. */
  readonly artworkPicture?: (side: Side) => RasterPicture | undefined;
}

const COLUMNS = 2;
const PICTURE_MM = 44;

export function quoteSheet(
  job: Job,
  layouts: readonly SideLayout[],
  production: JobProduction,
  options: QuoteOptions,
): readonly Sheet[] {
  const context = sheetContext(
    job,
    options.fonts,
    SHEET_SIZES[options.sheet ?? sheetPaper(job, 'quote')],
    options,
  );
  const { figures } = production.settings;
  const quote = jobQuote(job, production.together ?? production.estimates, figures.laborPerHour);
  const draft = quote.prices.isEstimate ? 'DRAFT · ' : '';
  const filling = columnPages(context, `${draft}Quote · ${job.number}`, COLUMNS);
  flowed(
    [
      offerTable(context, quote),
      ...layouts.map((layout) => sideBlock(context, layout, options.artworkPicture?.(layout.side))),
      materialTable(context, production),
      blockWhole(priceTable(context, quote)),
      blockWhole(listBlock(context, 'What this quote assumes', assumptions(layouts, production, quote))),
      blockWhole(signOffBlock(context, 'Accepted', ['For the customer', 'For the shop'])),
    ],
    filling.next,
  );
  return sheetsWithTexts(context, QUOTE, filling.pages);
}

const PAIR_COLUMNS = [
  { head: '', share: 0.3 },
  { head: '', share: 0.7 },
];

function offerTable(context: SheetContext, { validUntil }: Quote): FlowBlock {
  const { job } = context;
  const strong = boldStyle(context);
  const rows: Cell[][] = [
    [{ text: 'Shop' }, { text: ownerText(job.shop), style: strong }],
    [{ text: 'Customer' }, { text: job.customer, style: strong }],
    [{ text: 'Job' }, { text: job.name }],
    [{ text: 'Vehicle' }, { text: vehicleText(job) }],
    [{ text: 'Date' }, { text: dateText(job.date, job.dateOrder) }],
    [{ text: 'Valid until' }, { text: dateText(validUntil, job.dateOrder), style: strong }],
  ];
  return tableBlock(context, 'Offer', PAIR_COLUMNS, rows);
}

/** The side as on the vehicle, without panels, which concern only the shop. */
function sideBlock(context: SheetContext, layout: SideLayout, artwork: RasterPicture | undefined): FlowBlock {
  const { side, outline } = layout;
  const unit = context.job.displayUnit;
  const caption = `${side.name}, ${sheetSize(outline, unit)} ${UNIT_NAME[unit]}`;
  return blockWhole((widthMm) => {
    const style = boldStyle(context);
    const captionMm = linesHeight(1, style.sizeMm);
    const oneTo = Math.max(outline.width / (widthMm - 2), outline.height / PICTURE_MM);
    const height = outline.height / oneTo;
    return [
      {
        heightMm: captionMm + height + 3,
        draw: (x, y): Item[] => [
          ...textLines(context.fonts, [caption], style, { at: { x, y }, tag: 'quote side' }),
          ...bareSideItems(
            layout,
            { x: x + 1, y: y + captionMm + 1, width: outline.width / oneTo, height },
            oneTo,
            artwork,
          ),
        ],
      },
    ];
  });
}

function materialTable(context: SheetContext, production: JobProduction): FlowBlock {
  const { job } = context;
  const { settings } = production;
  const strong = boldStyle(context);
  const row = (use: string, text: string): Cell[] => [{ text: use }, { text, style: strong }];
  const years = settings.promisedYears;
  return tableBlock(context, 'Material', PAIR_COLUMNS, [
    ...filmProductions(production).flatMap(({ filmId, settings: { film, laminate } }) => {
      const ofFilm = jobOnFilm(job, filmId);
      const letter = hasSeveralFilms(job) ? ` ${jobFilm(job, filmId).letter}` : '';
      return [
        row(`Film${letter}`, film?.name ?? ofFilm.film.name),
        row(`Laminate${letter}`, laminate?.name ?? ofFilm.laminate?.name ?? 'none'),
      ];
    }),
    ...(settings.orderedFinish ? [row('Finish', settings.orderedFinish)] : []),
    ...(years === undefined ? [] : [row('Life promised', `${decimalText(years, 1)} years`)]),
  ]);
}

function priceTable(context: SheetContext, quote: Quote): FlowBlock {
  const { job } = context;
  const { range = true, cost = false } = job.sheets?.quote ?? {};
  const { currency, total, prices } = quote;
  const money = (inCents: number) => priceText(inCents, currency);
  const end = 'end' as const;
  const strong = styleOf('bold', context.size.textMm * 1.2);
  const line = (each: QuoteLine): Cell[] => [
    { text: each.name },
    { text: quantityText(each, job.displayUnit) },
    { text: money(each.likely) },
  ];
  const rows: Cell[][] = [
    ...quote.lines.map(line),
    [{ text: 'Total', style: strong }, { text: prices.tax }, { text: money(total.likely), style: strong }],
    ...(range
      ? [
          [{ text: 'At the least' }, { text: 'if all goes well' }, { text: money(total.low) }],
          [{ text: 'At the most' }, { text: 'if work is slow' }, { text: money(total.high) }],
        ]
      : []),
    ...(cost
      ? [[{ text: 'Own cost' }, { text: 'not for the customer' }, { text: money(quote.ownCost) }]]
      : []),
  ];
  return tableBlock(
    context,
    prices.isEstimate ? 'Prices: a draft, by figures that the shop has not set' : 'Prices',
    [
      { head: 'What', share: 0.42 },
      { head: 'Estimate', share: 0.26 },
      { head: 'Price', share: 0.32, anchor: end },
    ],
    rows,
  );
}

function quantityText({ quantity }: QuoteLine, unit: Job['displayUnit']): string {
  if (!quantity) return '';
  if (quantity.unit === 'h') return `${decimalText(hoursUp(quantity.value), 1)} h`;
  return `${decimalText(figureShown(quantity.value, 'm²', unit), 1)} ${unit === 'mm' ? 'm²' : 'ft²'}`;
}

/** Estimated times are rounded up to the half hour. */
const hoursUp = (hours: number): number => Math.ceil(hours * 2 - 1e-9) / 2;

function assumptions(
  layouts: readonly SideLayout[],
  { estimates: ofFirst, together: estimates = ofFirst }: JobProduction,
  { hours, prices }: Quote,
): { readonly mark: string; readonly text: string }[] {
  const unmeasured = layouts.filter(({ side }) => side.measured?.widthMm === undefined);
  const waiting = layouts.filter(({ side }) => side.page === undefined);
  const codes = (some: readonly SideLayout[]) => some.map(({ side }) => side.code).join(', ');
  const texts = [
    'Hours, material and prices are estimates. The range says how far they may be off.',
    unmeasured.length > 0 &&
      `The size of ${codes(unmeasured)} is as stated; it is checked with a tape before film is printed.`,
    waiting.length > 0 &&
      `There is no artwork of ${codes(waiting)} yet: matching lettering and pictures over seams is not in the hours, and ink is counted with the shop’s usual coverage.`,
    !estimates.ink && 'Ink is not in the price: the coverage of the artwork is not known yet.',
    !estimates.installTime && 'Installation is not in the price.',
    'The vehicle comes clean and dry, its paint sound, cured and free of old film.',
    `Work takes about ${decimalText(hoursUp(hours.likely), 1)} hours of all people together, ${decimalText(hoursUp(hours.low), 1)} to ${decimalText(hoursUp(hours.high), 1)}.`,
    prices.tax === '' && 'Taxes are not named: ask the shop.',
  ];
  return texts.flatMap((text) => (text ? [{ mark: '•', text }] : []));
}
