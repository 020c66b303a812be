import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { cutLines } from '../rolls/print-strips.ts';
import type { RollUse } from '../rolls/roll-use.ts';
import type { RollStock } from '../rolls/schema.ts';
import { type Item, MEDIUM, PAPER, type Stroke, THIN } from './drawing/drawing.ts';
import type { FontMetrics } from './drawing/font-library.ts';
import { sizeFromCap, styleOf, textFitted, textLine } from './drawing/text-block.ts';
import { largestScale } from './sheet-scale.ts';
import { freeAreaItems } from './side-picture.ts';

const CAPTION_MM: Mm = 6;
const GAP_MM: Mm = 3;
const CUT: Stroke = { widthMm: 0.25, black: 1, dashMm: [2, 1] };

/** A roll drawn lower than this shows nothing. */
const MIN_ROLL_MM: Mm = 6;

/** How many rolls can be drawn under each other in so much height. */
export const rollsThatFit = (heightMm: Mm): number =>
  Math.max(1, Math.floor(heightMm / (CAPTION_MM + GAP_MM + MIN_ROLL_MM)));

export interface RollOnPlan {
  readonly roll: RollStock;
  readonly use: RollUse;
}

/** The rolls of a plan, one under the other, the start of the film on the left. */
export interface RollsPicture {
  readonly oneTo: number;
  readonly heightMm: Mm;
  draw(xMm: Mm, yMm: Mm): readonly Item[];
}

/** Drawn at the largest standard scale at which all rolls fit into the room. */
export function rollsPicture(
  fonts: FontMetrics,
  rolls: readonly RollOnPlan[],
  room: { readonly width: Mm; readonly height: Mm },
  captionOf: (roll: RollOnPlan) => string,
): RollsPicture {
  const heightAt = (oneTo: number) =>
    rolls.reduce((sum, { roll }) => sum + roll.widthMm / oneTo + CAPTION_MM + GAP_MM, 0);
  const longest = Math.max(1, ...rolls.map(({ use }) => use.usedLengthMm));
  const oneTo = largestScale((scale) => longest / scale <= room.width && heightAt(scale) <= room.height);
  return {
    oneTo,
    heightMm: heightAt(oneTo),
    draw(x, y) {
      let top = y;
      return rolls.flatMap((each) => {
        const { roll, use } = each;
        const film: Rect = {
          x,
          y: top + CAPTION_MM,
          width: use.usedLengthMm / oneTo,
          height: roll.widthMm / oneTo,
        };
        const caption = textFitted(fonts, captionOf(each), styleOf('bold', 3.5), room.width, 2.5);
        const baseline = top + CAPTION_MM - 1.6;
        top += film.height + CAPTION_MM + GAP_MM;
        const head = caption
          ? [textLine(fonts, caption.text, caption.style, { at: { x, y: baseline }, tag: `roll ${roll.id}` })]
          : [];
        return [...head, ...rollItems(fonts, each, film, oneTo)];
      });
    },
  };
}

/**
 * The roll lies on its side: its start on the left, its left edge at the bottom. So it is the film turned by a
 * quarter and not mirrored.
 */
function rollItems(fonts: FontMetrics, { roll, use }: RollOnPlan, film: Rect, oneTo: number): Item[] {
  const tag = `roll ${roll.id}`;
  const onSheet = (alongMm: Mm, acrossMm: Mm, lengthMm: Mm, widthMm: Mm): Rect => ({
    x: film.x + alongMm / oneTo,
    y: film.y + (roll.widthMm - acrossMm - widthMm) / oneTo,
    width: lengthMm / oneTo,
    height: widthMm / oneTo,
  });
  const line = (rect: Rect): Item => ({
    kind: 'line',
    tag,
    from: { x: rect.x, y: rect.y },
    to: { x: rect.x + rect.width, y: rect.y + rect.height },
    stroke: CUT,
  });
  const cuts = cutLines(use.bands);
  const idle = [
    onSheet(0, 0, roll.leadInMm, roll.widthMm),
    onSheet(use.usedLengthMm - roll.tailMm, 0, roll.tailMm, roll.widthMm),
  ].filter(({ width }) => width > 0);
  return [
    ...idle.flatMap(freeAreaItems),
    { kind: 'rect', tag, rect: film, stroke: MEDIUM },
    ...use.bands.flatMap(({ panels }) =>
      panels.flatMap(({ item, place, size }) => {
        const rect = onSheet(place.yMm, place.xMm, size.along, size.across);
        return panelItems(fonts, item.label, rect);
      }),
    ),
    ...cuts.acrossAtMm.map((at) => line(onSheet(at, 0, 0, roll.widthMm))),
    ...cuts.lengthwise.map(({ xMm, fromMm, toMm }) => line(onSheet(fromMm, xMm, toMm - fromMm, 0))),
  ];
}

/** A panel with its label, as large as its rectangle lets it. */
function panelItems(fonts: FontMetrics, label: string, rect: Rect): Item[] {
  const tag = `panel on roll ${label}`;
  const items: Item[] = [{ kind: 'rect', tag, rect, fill: PAPER, stroke: THIN }];
  const isUpright = rect.height > rect.width * 1.4;
  const [along, across] = isUpright ? [rect.height, rect.width] : [rect.width, rect.height];
  const largest = Math.min(sizeFromCap(5), (across - 1.4) / 1.25);
  const fitted =
    largest >= 1.4 ? textFitted(fonts, label, styleOf('bold', largest), along - 5, 1.4) : undefined;
  if (fitted && !fitted.isCut) {
    const centre = { x: rect.x + rect.width / 2, y: rect.y + rect.height / 2 };
    const drop = fitted.style.sizeMm * 0.255 * 1.4;
    const at = isUpright ? { x: centre.x + drop, y: centre.y } : { x: centre.x, y: centre.y + drop };
    items.push(
      textLine(fonts, fitted.text, fitted.style, { at, anchor: 'middle', turn: isUpright ? 90 : 0, tag }),
    );
  }
  return items;
}
