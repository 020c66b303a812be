/** The band across the top of the ticket, for what must not be missed. */

import { type Item, TEXT_ASCENT, THICK } from '../drawing/drawing.ts';
import { styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import type { Mm } from '../measure/units.ts';
import { offPrinterTime } from '../output/off-printer-time.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { DEFAULT_DRYING_RULES, dryingHours } from '../production/drying.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { isStripJob } from '../production/job-strips.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { localTimeText, MINUTES_PER_HOUR, minutesFromLocal, momentText } from '../shop/local-time.ts';
import type { SheetContext } from './sheet-context.ts';

export const BAND_MM: Mm = 17;

interface BandCell {
  readonly caption: string;
  readonly text: string;
  readonly share: number;
}

/**
 * The RIP factor in white on black, its scale with the feed compensation, and the drying time. Drying counts from the
 * time that was entered or is written in by hand, because the last panel may not come off at the planned time.
 * Keeps TK1.
 */
export function bandItems(
  context: SheetContext,
  production: FilmProduction,
  record: ProductionRecord,
  body: { x: Mm; y: Mm; width: Mm },
): Item[] {
  const { job, fonts } = context;
  const { clock, rules } = production;
  const size = job.output.size;
  const factor = size.kind === 'reduction' ? `ENLARGE ×${size.factor} IN THE RIP` : 'PRINT AT 100 %';
  const feed = rules.feedCompensationPercent;
  const cells: readonly BandCell[] = [
    {
      caption: isStripJob(job) ? 'Size of the strip files' : 'Size of the panel files',
      text: factor,
      share: 0.34,
    },
    {
      caption: 'RIP scale, across × along',
      text: `100 × ${feed === 0 ? '100' : (100 + feed).toFixed(2)} %`,
      share: 0.2,
    },
    ...dryingCells(production, record, job.dateOrder),
    {
      caption: offPrinterTime(record) ? 'Install from' : 'Install, planned from',
      text: clock ? momentText(clock.install, job.dateOrder) : 'print start not set',
      share: 0.16,
    },
  ];
  let x = body.x;
  return cells.flatMap(({ caption, text, share }, index): Item[] => {
    const rect = { x, y: body.y, width: body.width * share, height: BAND_MM };
    x += rect.width;
    const isReversed = index === 0;
    const black = isReversed ? 0 : 1;
    const tag = `band ${caption}`;
    const value = textFitted(
      fonts,
      text,
      { ...styleOf('bold', isReversed ? 11 : 7), black },
      rect.width - 4,
      2.2,
    );
    return [
      { kind: 'rect', tag, rect, stroke: THICK, ...(isReversed ? { fill: { black: 1 } } : {}) },
      textLine(
        fonts,
        caption,
        { ...styleOf('regular', 2.8), black },
        {
          at: { x: rect.x + 2, y: rect.y + 0.6 + 2.8 * TEXT_ASCENT },
          tag,
        },
      ),
      ...(value
        ? [
            textLine(fonts, value.text, value.style, {
              at: { x: rect.x + 2, y: rect.y + BAND_MM - 3.2 },
              tag,
            }),
          ]
        : []),
    ];
  });
}

/** When the last panel came off, and when it is dry: from the entered time, or to be filled in by hand. */
function dryingCells(
  { settings, coverage }: FilmProduction,
  record: ProductionRecord,
  dateOrder: DateOrder | undefined,
): BandCell[] {
  const hours = dryingHours(settings.ink, coverage.worst?.percent, DEFAULT_DRYING_RULES);
  const dry = settings.laminate ? 'Laminate' : 'Dry';
  const came = offPrinterTime(record);
  const off = { caption: 'Last panel off printer', share: 0.15 };
  if (came === undefined) {
    return [
      { ...off, text: record.offPrinter ?? '' },
      { caption: `${dry}, from then`, text: `+ ${hours} h`, share: 0.15 },
    ];
  }
  const minutes = minutesFromLocal(came);
  return [
    { ...off, text: localTimeText(minutes, dateOrder) },
    {
      caption: `${dry} from (+ ${hours} h)`,
      text: localTimeText(minutes + hours * MINUTES_PER_HOUR, dateOrder),
      share: 0.15,
    },
  ];
}
