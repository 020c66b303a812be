/** A card for each panel, in install order: what an installer needs at the vehicle, readable from 2 m. */
import { BLACK, type Item, MEDIUM, type RasterPicture, THICK } from '../drawing/drawing.ts';
import { sizeFromCap, styleOf, type TextStyle, textFitted, textLine } from '../drawing/text-block.ts';
import { jobCostCard } from '../job/job-cost-card.ts';
import type { Job } from '../job/schema.ts';
import { type Panel, type PanelEdge, panelPoints, type Seam } from '../layout/panel.ts';
import { datumLength, endName, seamDatums } from '../layout/seam-datums.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import { EDGES, type Edge, type Point, type Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { panelPeople } from '../shop/cost-card.ts';
import { isTwoColumns } from './column-pages.ts';
import { type EdgeAct, edgeSymbol } from './edge-symbols.ts';
import { peopleText } from './install-hours.ts';
import { neighborNumbers } from './install-steps.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength, UNIT_NAME } from './sheet-length.ts';
import { type SideKeys, sideKeys } from './side-keys.ts';

/** A side with more panels than this gets cards automatically. */
const MANY_PANELS = 12;

/**
 * Heights of capitals and figures. A letter is read from about 400 times its height (common practice, no source), so 5
 * mm at 2 m; ISO 3098 has 7 as the next size, which helps with gloves, glare and cold.
 */
const FIGURE_CAP_MM: Mm = 7;
const NAME_CAP_MM: Mm = 8;
const GAP_MM: Mm = 4;
const PAD_MM: Mm = 2.5;
const HEAD_MM: Mm = 15;
const FOOT_MM: Mm = 9;
const FIGURES_SHARE = 0.4;
/** Height of a tape figure below its caption; on a card with more figures, captions are beside them. */
const ROOMY_ROW_MM: Mm = FIGURE_CAP_MM + 11.5;

export function hasCards({ sheets }: Job, { panels }: SideLayout): boolean {
  switch (sheets?.panelCards ?? 'many-panels') {
    case 'always':
      return true;
    case 'never':
      return false;
    case 'many-panels':
      return panels.length > MANY_PANELS;
  }
}

/** Four cards on A4 and Letter, six on A3 and Tabloid. */
export function cardPages(
  context: SheetContext,
  layout: SideLayout,
  artwork: RasterPicture | undefined,
): readonly PageDraft[] {
  const { side, panels } = layout;
  const body = bodyRect(context.size);
  const [columns, rows] = isTwoColumns(body) ? [3, 2] : [2, 2];
  const shown = panels.filter(({ id }) => context.reprintedIds.size === 0 || context.reprintedIds.has(id));
  const width = (body.width - (columns - 1) * GAP_MM) / columns;
  const height = (body.height - (rows - 1) * GAP_MM) / rows;
  const keys = sideKeys(layout);
  return sharedEvenly(shown, columns * rows).map((own) => {
    const [first, last] = [firstOf(own), lastOf(own)];
    const range = first === last ? first.label : `${first.label} to ${last.label}`;
    return {
      head: {
        title: `${side.code} · ${side.name} · cards ${range}, in ${UNIT_NAME[context.job.displayUnit]}`,
        ...(side.front !== 'none' && { travel: side.front }),
      },
      items: own.flatMap((panel, index) =>
        cardItems(
          context,
          { layout, keys, panel, artwork },
          {
            x: body.x + (index % columns) * (width + GAP_MM),
            y: body.y + Math.floor(index / columns) * (height + GAP_MM),
            width,
            height,
          },
        ),
      ),
    };
  });
}

/** Divides a list into the fewest groups of at most `most`, about equal, so that no page has a single leftover card. */
export function sharedEvenly<T>(all: readonly T[], most: number): readonly (readonly T[])[] {
  const count = Math.ceil(all.length / most);
  const start = (part: number) => Math.ceil((part * all.length) / count);
  return Array.from({ length: count }, (_, part) => all.slice(start(part), start(part + 1)));
}

interface CardSubject {
  readonly layout: SideLayout;
  readonly keys: SideKeys;
  readonly panel: Panel;
  readonly artwork: RasterPicture | undefined;
}

function cardItems(context: SheetContext, subject: CardSubject, card: Rect): Item[] {
  const { panel } = subject;
  const inner: Rect = {
    x: card.x + PAD_MM,
    y: card.y + PAD_MM,
    width: card.width - 2 * PAD_MM,
    height: card.height - 2 * PAD_MM,
  };
  const middleY = inner.y + HEAD_MM;
  const middleHeight = inner.height - HEAD_MM - FOOT_MM;
  const figuresWidth = inner.width * FIGURES_SHARE;
  const room: Rect = {
    x: inner.x,
    y: middleY,
    width: inner.width - figuresWidth - 2,
    height: middleHeight,
  };
  const figures: Rect = {
    x: inner.x + inner.width - figuresWidth,
    y: middleY,
    width: figuresWidth,
    height: middleHeight,
  };
  const tag = `card ${panel.label}`;
  return [
    { kind: 'rect', tag, rect: card, stroke: THICK },
    ...headItems(context, subject, inner, tag),
    ...pictureItems(context, subject, room, tag),
    ...figureItems(context, subject, figures, tag),
    ...footItems(context, inner, tag),
  ];
}

/** The tick box, the panel as named on its border, its place in the install order, and its neighbors. */
function headItems(context: SheetContext, { layout, panel }: CardSubject, inner: Rect, tag: string): Item[] {
  const { fonts, job } = context;
  const boxMm = 9;
  const name = styleOf('bold', sizeFromCap(NAME_CAP_MM));
  const baseline = inner.y + NAME_CAP_MM + 0.5;
  const nameX = inner.x + boxMm + 3;
  const label = textLine(fonts, panel.label, name, { at: { x: nameX, y: baseline }, tag });
  const restX = nameX + label.widthMm + 3;
  const rest = inner.x + inner.width - restX;
  const people = panelPeople(jobCostCard(job), Math.max(panel.film.width, panel.film.height));
  const lines = [
    `install ${panel.order} of ${layout.panels.length}${people > 1 ? ` · ${peopleText(people)}` : ''}`,
    neighborText(layout, panel),
  ];
  const texts = lines.flatMap((text, index): Item[] => {
    const fitted = textFitted(fonts, text, styleOf('bold', 4.9), rest, 2.6);
    if (!fitted) return [];
    const at = { x: restX, y: inner.y + 5 + index * 6 };
    return [textLine(fonts, fitted.text, fitted.style, { at, tag })];
  });
  return [
    { kind: 'rect', tag, rect: { x: inner.x, y: inner.y + 1, width: boxMm, height: boxMm }, stroke: THICK },
    label,
    ...texts,
  ];
}

const LIES_WORDS = { over: 'over', under: 'under', 'edge-to-edge': 'meets', apart: 'gap to' } as const;

/** `over 1, 3 · under 7` */
function neighborText(layout: SideLayout, panel: Panel): string {
  if (panel.glass) return `on the glass of ${panel.glass.name}`;
  const byWord = Map.groupBy(
    EDGES.flatMap((edge) => {
      const at = panel.edges[edge];
      return at.kind === 'seam' ? [at] : [];
    }),
    ({ lies }) => LIES_WORDS[lies],
  );
  return [...byWord]
    .map(([word, edges]) => {
      const numbers = [...new Set(edges.flatMap((at) => neighborNumbers(layout, at)))].toSorted(
        (a, b) => a - b,
      );
      return numbers.length > 0 ? `${word} ${numbers.join(', ')}` : '';
    })
    .filter(Boolean)
    .join(' · ');
}

/** The action at an edge: symbol, word and distance. */
export function edgeAct(edge: PanelEdge): { readonly act: EdgeAct; readonly mm?: Mm } {
  // On glass, where the film is trimmed short of the seal.
  if (edge.kind === 'outer' && edge.trim === 'tape') return { act: 'trim', mm: edge.allowanceMm };
  if (edge.kind === 'outer') {
    return edge.allowanceMm > 0 ? { act: 'tuck', mm: edge.allowanceMm } : { act: 'end' };
  }
  switch (edge.lies) {
    case 'under':
      return { act: 'covered' };
    case 'apart':
      return edge.trim === 'edge' ? { act: 'trim' } : { act: 'wrap', mm: edge.allowanceMm };
    case 'over':
    case 'edge-to-edge':
      return { act: edge.trim === 'none' || edge.trim === 'shop' ? 'end' : 'trim' };
  }
}

const ACT_WORDS: Readonly<Record<EdgeAct, string>> = {
  trim: 'TRIM',
  covered: 'COVERED',
  tuck: 'TUCK',
  wrap: 'WRAP',
  end: 'ENDS HERE',
};

const SYMBOL_MM: Mm = 7;
/** Above and below the picture: a symbol with its word. */
const BAND_MM: Mm = 10;

interface EdgeWords {
  readonly act: EdgeAct;
  readonly text: string;
  readonly style: TextStyle;
  readonly widthMm: Mm;
}

/** Direction of the words at the left and right edges: turned under their symbol, turned beside it, or level. */
type Beside = 'turned' | 'turned-beside' | 'level';

/** The panel as unpacked, with its border; the action beside each edge. */
function pictureItems(
  context: SheetContext,
  { layout, panel, artwork }: CardSubject,
  room: Rect,
  tag: string,
): Item[] {
  const { fonts, job } = context;
  const capMm = isTwoColumns(bodyRect(context.size)) ? 5 : 3.5;
  const highest = room.height - 2 * BAND_MM;
  const wordsOf = (edge: Edge, roomMm: Mm): EdgeWords => {
    const { act, mm } = edgeAct(panel.edges[edge]);
    const words = mm === undefined ? ACT_WORDS[act] : `${ACT_WORDS[act]} ${sheetLength(mm, job.displayUnit)}`;
    const { text, style } = textFitted(fonts, words, styleOf('bold', sizeFromCap(capMm)), roomMm, 2.5) ?? {
      text: ACT_WORDS[act],
      style: styleOf('bold', 2.5),
    };
    return { act, text, style, widthMm: fonts.width(text, style.role, style.sizeMm) };
  };
  const sides = (['left', 'right'] as const).map((edge) => ({ edge, full: wordsOf(edge, 1000) }));
  const isLying = panel.film.width >= panel.film.height;
  const longest = Math.max(...sides.map(({ full }) => full.widthMm));
  const beside: Beside = longest + SYMBOL_MM + 1 <= highest ? 'turned' : isLying ? 'turned-beside' : 'level';
  const textMm = capMm * 1.7;
  const sideMm = {
    turned: Math.max(textMm, SYMBOL_MM) + 1.5,
    'turned-beside': textMm + SYMBOL_MM + 2,
    level: Math.min(longest, room.width * 0.33) + 1.5,
  }[beside];
  const scale = Math.min((room.width - 2 * sideMm) / panel.film.width, highest / panel.film.height);
  const film: Rect = {
    x: room.x + (room.width - panel.film.width * scale) / 2,
    y: room.y + (room.height - panel.film.height * scale) / 2,
    width: panel.film.width * scale,
    height: panel.film.height * scale,
  };
  const onSheet = (r: Rect): Rect => ({
    x: film.x + (r.x - panel.film.x) * scale,
    y: film.y + (r.y - panel.film.y) * scale,
    width: r.width * scale,
    height: r.height * scale,
  });
  const pointOnSheet = ({ x, y }: Point): Point => ({
    x: film.x + (x - panel.film.x) * scale,
    y: film.y + (y - panel.film.y) * scale,
  });
  const printed = onSheet(panel.printed);
  const picture: Item[] = artwork
    ? [{ kind: 'picture', tag: 'artwork', rect: onSheet(layout.outline), picture: artwork, clip: printed }]
    : [];
  const levelWords = (edge: 'top' | 'bottom'): Item[] => {
    const words = wordsOf(edge, room.width - SYMBOL_MM - 1);
    const width = SYMBOL_MM + 1 + words.widthMm;
    const x = clamped(film.x + film.width / 2 - width / 2, room.x, room.x + room.width - width);
    const y = edge === 'top' ? film.y - BAND_MM + 1.5 : film.y + film.height + 1.5;
    const at = { x: x + SYMBOL_MM + 1, y: y + SYMBOL_MM / 2 + capMm / 2 };
    return [
      ...edgeSymbol(words.act, edge, { x, y }, SYMBOL_MM, tag),
      textLine(fonts, words.text, words.style, { at, tag: `${tag} ${edge}` }),
    ];
  };
  const sideWords = (edge: 'left' | 'right'): Item[] => {
    const isLeft = edge === 'left';
    const middleY = film.y + film.height / 2;
    const words = wordsOf(edge, beside === 'level' ? sideMm - 1.5 : beside === 'turned' ? 1000 : highest);
    const outer = isLeft ? film.x - 1 : film.x + film.width + 1;
    const textTag = `${tag} ${edge}`;
    if (beside === 'level') {
      const at = { x: outer, y: middleY + 1 + capMm };
      const x = isLeft ? outer - SYMBOL_MM : outer;
      return [
        ...edgeSymbol(words.act, edge, { x, y: middleY - SYMBOL_MM - 1 }, SYMBOL_MM, tag),
        textLine(fonts, words.text, words.style, { at, anchor: isLeft ? 'end' : 'start', tag: textTag }),
      ];
    }
    const width = beside === 'turned' ? words.widthMm + 1 + SYMBOL_MM : words.widthMm;
    const bottom = middleY + width / 2;
    const textX = isLeft ? outer - textMm / 2 + capMm / 2 : outer + textMm / 2 + capMm / 2;
    const symbolX =
      beside === 'turned'
        ? textX - capMm / 2 - SYMBOL_MM / 2
        : isLeft
          ? outer - textMm - SYMBOL_MM
          : outer + textMm;
    const symbolY = beside === 'turned' ? bottom - width : middleY - SYMBOL_MM / 2;
    return [
      ...edgeSymbol(words.act, edge, { x: symbolX, y: symbolY }, SYMBOL_MM, tag),
      textLine(fonts, words.text, words.style, { at: { x: textX, y: bottom }, turn: 90, tag: textTag }),
    ];
  };
  return [
    ...picture,
    { kind: 'rect', tag, rect: film, stroke: { widthMm: 0.25, black: 1, dashMm: [2, 1] } },
    { kind: 'rect', tag, rect: printed, stroke: MEDIUM },
    panel.shape || panel.glass
      ? { kind: 'polygon', tag, points: panelPoints(panel).map(pointOnSheet), stroke: THICK }
      : { kind: 'rect', tag, rect: onSheet(panel.net), stroke: THICK },
    ...(panel.shape
      ? [
          {
            kind: 'polygon',
            tag,
            points: panel.shape.needed.points.map(pointOnSheet),
            stroke: MEDIUM,
          } as const,
        ]
      : []),
    ...levelWords('top'),
    ...levelWords('bottom'),
    ...sideWords('left'),
    ...sideWords('right'),
  ];
}

const clamped = (value: Mm, least: Mm, most: Mm): Mm => Math.max(least, Math.min(value, most));

/** Positions of the edges that the crew sets with a tape, in large digits. */
function figureItems(
  context: SheetContext,
  { layout, keys, panel }: CardSubject,
  room: Rect,
  tag: string,
): Item[] {
  const { fonts, job } = context;
  const set = EDGES.flatMap((edge) => {
    const at = panel.edges[edge];
    if (at.kind !== 'seam' || (at.lies !== 'over' && at.lies !== 'edge-to-edge')) return [];
    const found = keys.seams.find(({ seam }) => seam.id === at.seamId);
    return found ? [{ edge, ...found }] : [];
  });
  const captionStyle = styleOf('regular', sizeFromCap(3.5));
  const figureStyle = styleOf('bold', sizeFromCap(FIGURE_CAP_MM));
  if (set.length === 0) {
    const line = textFitted(fonts, 'Set it by the outline', captionStyle, room.width, 2.6);
    return line ? [textLine(fonts, line.text, line.style, { at: { x: room.x, y: room.y + 6 }, tag })] : [];
  }
  const tapeTag = `${tag} tape`;
  const isRoomy = set.length * ROOMY_ROW_MM <= room.height;
  const rowMm = isRoomy ? ROOMY_ROW_MM : room.height / set.length;
  return set.flatMap(({ edge, seam }, index): Item[] => {
    const { from, figure } = tapeFigure(layout, seam, job);
    const y = room.y + index * rowMm;
    const [captionMm, least] = isRoomy ? [room.width, 2.2] : [room.width * 0.28, 1.8];
    const captions = isRoomy ? [`${edge} edge, from ${from}`] : [edge, `from ${from}`];
    const figureX = room.x + (isRoomy ? 0 : captionMm + 1);
    const number = textFitted(fonts, figure, figureStyle, room.x + room.width - figureX, 4);
    const baseline = isRoomy ? y + 7.5 + FIGURE_CAP_MM : y + rowMm / 2 + FIGURE_CAP_MM / 2;
    return [
      ...captions.flatMap((text, line): Item[] => {
        const fitted = textFitted(fonts, text, captionStyle, captionMm, least);
        const lineY = isRoomy ? y + 4 : y + rowMm / 2 - 0.6 + line * 4;
        return fitted
          ? [textLine(fonts, fitted.text, fitted.style, { at: { x: room.x, y: lineY }, tag: tapeTag })]
          : [];
      }),
      ...(number
        ? [
            textLine(fonts, number.text, number.style, {
              at: { x: figureX, y: baseline },
              tag: `${tapeTag} figure`,
            }),
          ]
        : []),
    ];
  });
}

function tapeFigure(
  layout: SideLayout,
  seam: Seam,
  job: Job,
): { readonly from: string; readonly figure: string } {
  const { near } = seamDatums(layout, seam, job.displayUnit);
  return {
    from: endName(near.edge, layout.side),
    figure: datumLength(near, (mm) => sheetLength(mm, job.displayUnit)),
  };
}

function footItems({ fonts }: SheetContext, inner: Rect, tag: string): Item[] {
  const y = inner.y + inner.height - 1.5;
  const style = styleOf('regular', 3.5);
  const nameLine = inner.width * 0.6;
  return [
    textLine(fonts, 'Name', style, { at: { x: inner.x, y }, tag }),
    line(inner.x + 11, inner.x + nameLine - 3, y + 0.6, tag),
    textLine(fonts, 'Time', style, { at: { x: inner.x + nameLine, y }, tag }),
    line(inner.x + nameLine + 10, inner.x + inner.width, y + 0.6, tag),
  ];
}

const line = (from: Mm, to: Mm, y: Mm, tag: string): Item => ({
  kind: 'line',
  tag,
  from: { x: from, y },
  to: { x: to, y },
  stroke: { widthMm: 0.25, black: BLACK.black },
});
