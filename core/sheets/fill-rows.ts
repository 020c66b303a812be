/** The fill list of a ticket: small pieces, and the place of each in the waste beside the panels. */
import { styleOf } from '../drawing/text-block.ts';
import { fillItemOf, filmFill, isOnStrip } from '../production/fill-list.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { byNeed } from '../rolls/fill-plan.ts';
import type { FillItem } from '../shop/fill-item.ts';
import { type Cell, TICK_BOX, tableBlock } from './blocks.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetFilmLength, sheetLength, sheetSize, UNIT_NAME } from './sheet-length.ts';

export function fillBlocks(context: SheetContext, production: FilmProduction): FlowBlock[] {
  const { fill = [] } = production.settings;
  if (fill.length === 0) return [];
  return [
    tableBlock(
      context,
      `Fill list, in the waste beside the panels; sizes in ${UNIT_NAME[context.job.displayUnit]}, width × height`,
      [
        { head: '', share: 0.06 },
        { head: 'Piece', share: 0.22 },
        { head: 'Size on roll', share: 0.2 },
        { head: 'Roll', share: 0.07, anchor: 'middle' },
        { head: 'From start', share: 0.12 },
        { head: 'From left edge', share: 0.11 },
        { head: 'File', share: 0.22 },
      ],
      fillRows(context, production, fill),
    ),
  ];
}

function fillRows({ job }: SheetContext, production: FilmProduction, items: readonly FillItem[]): Cell[][] {
  const unit = job.displayUnit;
  const { plan, before } = production;
  const used = plan.uses.map(({ rollId }) => rollId);
  const { placed, left } = filmFill(production);
  const sizeOf = ({ widthMm, heightMm }: FillItem) => sheetSize({ width: widthMm, height: heightMm }, unit);
  const fileOf = (item: FillItem): string => {
    if (isOnStrip(job, item)) return 'in its strip';
    if (item.source) return `${item.source.jobNumber} Output ${item.source.output}`;
    return item.kind === 'remnant' ? 'none, blank' : 'of the shop';
  };
  return [
    ...placed.map((piece): Cell[] => {
      const item = fillItemOf(production, piece);
      const { rollId, xMm, yMm, turned } = piece.place;
      return [
        TICK_BOX,
        { text: piece.item.label, style: styleOf('bold', 4) },
        { text: `${sizeOf(item)}${turned ? ', turned' : ''}` },
        { text: String((before?.rolls ?? 0) + used.indexOf(rollId) + 1) },
        { text: sheetFilmLength(yMm, unit) },
        { text: sheetLength(xMm, unit) },
        { text: fileOf(item) },
      ];
    }),
    ...items
      .filter(({ id }) => left.has(id))
      .toSorted(byNeed)
      .map((item): Cell[] => [
        TICK_BOX,
        {
          text: item.count === 1 ? item.label : `${item.label} × ${left.get(item.id)}`,
          style: styleOf('bold', 4),
        },
        { text: sizeOf(item) },
        { text: 'none' },
        { text: 'no room' },
        { text: '' },
        { text: fileOf(item) },
      ]),
  ];
}
