/** Random jobs for the series that work figures out again, and their panels from the job file alone. */
import fc from 'fast-check';
import type { Job, Joint, Region, Side } from '../../../core/job/schema.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { bookmobileJob, sideOf } from './fixture.ts';

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}
export interface Own {
  readonly id: string;
  readonly side: string;
  readonly net: Box;
  readonly film: Box;
}

/** The panels of a region, from its place and from how far each edge is printed beyond it. */
function ownPanels(side: Side, region: Region, net: Box, past: Box, borderMm: number): Own[] {
  if (region.kind === 'panel') {
    const film = {
      left: net.left - past.left - borderMm,
      top: net.top - past.top - borderMm,
      right: net.right + past.right + borderMm,
      bottom: net.bottom + past.bottom + borderMm,
    };
    return [{ id: region.id, side: side.code, net, film }];
  }
  const [near, far] =
    region.seams === 'vertical' ? (['left', 'right'] as const) : (['top', 'bottom'] as const);
  return region.parts.flatMap((part, index) => {
    const before = region.joints[index - 1];
    const after = region.joints[index];
    return ownPanels(
      side,
      part,
      { ...net, ...(before && { [near]: before.atMm }), ...(after && { [far]: after.atMm }) },
      { ...past, ...(before && { [near]: before.secondMm }), ...(after && { [far]: after.firstMm }) },
      borderMm,
    );
  });
}

export const panelsOfJob = (job: Job): Own[] =>
  job.sides.flatMap((side) => {
    const [width, height] = [side.artworkRect.widthMm * job.scale, side.artworkRect.heightMm * job.scale];
    const net = { left: 0, top: 0, right: width, bottom: height };
    return ownPanels(side, side.layout, net, side.bleed, job.output.borderMm);
  });

/** As a tape is read. */
export function read(mm: number, unit: 'mm' | 'in'): string {
  if (unit === 'mm') return `${Math.round(mm)}`;
  let [over, under] = [Math.round((mm / 25.4) * 16), 16];
  const whole = Math.floor(over / 16);
  over -= whole * 16;
  while (over > 0 && over % 2 === 0) [over, under] = [over / 2, under / 2];
  return over === 0 ? `${whole}` : whole === 0 ? `${over}/${under}` : `${whole} ${over}/${under}`;
}
export const size = (box: Box, unit: 'mm' | 'in') =>
  `${read(box.right - box.left, unit)} × ${read(box.bottom - box.top, unit)}`;

export const randomJob = fc
  .record({
    width: fc.integer({ min: 900, max: 7000 }),
    height: fc.integer({ min: 700, max: 2900 }),
    columns: fc.integer({ min: 1, max: 4 }),
    rows: fc.integer({ min: 1, max: 3 }),
    kinds: fc.array(fc.constantFrom('lap', 'lap', 'gap', 'butt'), { minLength: 5, maxLength: 5 }),
    first: fc.integer({ min: 0, max: 40 }),
    second: fc.integer({ min: 10, max: 80 }),
    top: fc.constantFrom('first', 'second'),
    bleed: fc.record({
      top: fc.integer({ min: 0, max: 90 }),
      right: fc.integer({ min: 0, max: 90 }),
      bottom: fc.integer({ min: 0, max: 90 }),
      left: fc.integer({ min: 0, max: 90 }),
    }),
    border: fc.integer({ min: 26, max: 45 }),
    feed: fc.integer({ min: -40, max: 40 }).map((hundredths) => hundredths / 100),
    front: fc.constantFrom('left', 'right', 'none'),
    unit: fc.constantFrom('mm', 'in'),
    paper: fc.constantFrom(...(Object.keys(SHEET_SIZES) as SheetSizeName[])),
  })
  .map((drawn): { readonly job: Job; readonly paper: SheetSizeName } => {
    const joint = (id: string, atMm: number, kind: 'lap' | 'gap' | 'butt'): Joint => ({
      id,
      kind,
      atMm,
      ...(kind === 'butt' ? { firstMm: 0, secondMm: 0 } : { firstMm: drawn.first, secondMm: drawn.second }),
      // The part on top has image to trim, or its edge would be cut in the shop.
      top: drawn.first >= 10 ? drawn.top : 'second',
    });
    const cuts = (count: number, long: number) =>
      Array.from({ length: count - 1 }, (_, i) => Math.round((long * (i + 1)) / count));
    const rowsOf = (column: number): Region =>
      drawn.rows === 1
        ? { kind: 'panel', id: `c${column}` }
        : {
            kind: 'split',
            seams: 'horizontal',
            joints: cuts(drawn.rows, drawn.height).map((at, i) =>
              joint(`h${column}-${i}`, at, drawn.kinds[i + 3]!),
            ),
            parts: Array.from({ length: drawn.rows }, (_, row) => ({
              kind: 'panel',
              id: `c${column}r${row}`,
            })),
          };
    const layout: Region =
      drawn.columns === 1
        ? rowsOf(0)
        : {
            kind: 'split',
            seams: 'vertical',
            joints: cuts(drawn.columns, drawn.width).map((at, i) => joint(`v${i}`, at, drawn.kinds[i]!)),
            parts: Array.from({ length: drawn.columns }, (_, column) => rowsOf(column)),
          };
    const { width, height, bleed, front } = drawn;
    const base = bookmobileJob({ displayUnit: drawn.unit, name: 'Random', notes: '' });
    const job: Job = {
      ...base,
      sides: [sideOf('QS', 'Quarter side', { width, height }, { bleed, front, layout })],
      output: { ...base.output, borderMm: drawn.border },
      printer: { ...base.printer, feedErrorPercent: drawn.feed, rollWidthMm: 3200, longestPrintMm: 30_000 },
      production: DEFAULT_PRODUCTION,
      sheets: { ticket: { packing: true } },
    };
    return { job, paper: drawn.paper };
  });
