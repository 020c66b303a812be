import { BLACK, type Item, PAPER, type PolygonItem } from '../drawing/drawing.ts';
import { hasSeveralFilms, jobFilms, jobOnFilm } from '../job/job-films.ts';
import type { Ground } from '../job/schema.ts';
import { isPerforated } from '../job/window-film.ts';
import { layoutsOnFilm } from '../layout/film-layouts.ts';
import { jobGroundStretches } from '../layout/ground-stretch.ts';
import type { Seam } from '../layout/panel.ts';
import { endName } from '../layout/seam-datums.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { EDGES, type Rect } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { stretchText } from '../vehicle/ground-depth.ts';
import { boldStyle, type Cell, type ListEntry, listBlock, tableBlock } from './blocks.ts';
import { BLANK, heatSentence, stretchSentence } from './cautions.ts';
import { columnPages, columnsOf } from './column-pages.ts';
import type { SidePictures } from './crew-page.ts';
import {
  blocksTakenAlong,
  type FilledPages,
  fewestPages,
  pagesFilled,
  SPACINGS,
  spacedContext,
  TAKEN_ALONG,
} from './fewest-pages.ts';
import type { FlowBlock } from './flow.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';
import { type DisplayUnit, sheetLength, sheetLengthUp, sheetSize, UNIT_NAME } from './sheet-length.ts';
import { scaleDesignation } from './sheet-scale.ts';
import { noFilmPlace, seamNearText, sideKeys } from './side-keys.ts';
import { tileItems, tilesInRoom } from './side-tiles.ts';

const PICTURES_SHARE = 0.45;
const COLUMNS = 2;
const LEAST_ARROW_MM: Mm = 8;
const TITLE = 'Heat and pressing plan';
const entry = (text: string, index: number): ListEntry => ({ mark: String(index + 1), text });

/** Direction of pressing the film, tuck depths, and heat-setting. The film's data sheet takes precedence. */
export function heatPages(
  context: SheetContext,
  layouts: readonly SideLayout[],
  artworkOf: SidePictures,
): readonly PageDraft[] {
  const waysWith = (takenAlong: number) =>
    SPACINGS.map(
      (spacing) => () => heatPagesWith(spacedContext(context, spacing), layouts, artworkOf, takenAlong),
    );
  return fewestPages(waysWith(0), TAKEN_ALONG.flatMap(waysWith));
}

function heatPagesWith(
  context: SheetContext,
  layouts: readonly SideLayout[],
  artworkOf: SidePictures,
  takenAlong: number,
): FilledPages {
  const body = bodyRect(context.size);
  const room: Rect = { ...body, height: body.height * PICTURES_SHARE };
  const { oneTo, tiles } = tilesInRoom(layouts, room);
  const first: PageDraft = {
    head: { title: TITLE, scale: scaleDesignation(oneTo) },
    items: tiles.flatMap((tile) => {
      const { side } = tile.layout;
      const caption = `${side.code} ${side.name}`;
      return tileItems(context, tile, oneTo, {
        caption,
        artwork: artworkOf(tile.layout),
        isFaint: true,
        onPanel: (net, { glass }) => (glass ? [] : pressingArrows(net)),
      });
    }),
  };
  const bottom = Math.max(body.y, ...tiles.map(({ rect }) => rect.y + rect.height)) + 4;
  const free = columnsOf(
    first,
    { xMm: body.x, yMm: bottom, widthMm: body.width, heightMm: body.y + body.height - bottom },
    COLUMNS,
  );
  const columns = columnPages(context, TITLE, COLUMNS, { page: first, columns: free });
  return pagesFilled(context, blocksTakenAlong(heatBlocks(context, layouts), takenAlong), columns);
}

/**
 * Pressing arrows: from the middle to both ends of a horizontal panel, down the middle of a vertical one. Common
 * practice, no source.
 */
export function pressingArrows(net: Rect): Item[] {
  const middle = { x: net.x + net.width / 2, y: net.y + net.height / 2 };
  // On a small picture an arrow would be a blot.
  if (Math.max(net.width, net.height) < LEAST_ARROW_MM) return [];
  if (net.width >= net.height) {
    const run = Math.min(net.width * 0.35, 24);
    const size = Math.min(net.height * 0.6, 5);
    return [-1, 1].map((way) => arrow(middle.x + way * 1, middle.y, way * run, size, true));
  }
  const run = Math.min(net.height * 0.5, 24);
  return [arrow(middle.x, middle.y - run / 2, run, Math.min(net.width * 0.6, 5), false)];
}

function arrow(x: Mm, y: Mm, run: Mm, sizeMm: Mm, isLying: boolean): PolygonItem {
  const way = Math.sign(run);
  const neck = run - way * sizeMm;
  const outline: readonly (readonly [Mm, Mm])[] = [
    [0, -sizeMm * 0.18],
    [neck, -sizeMm * 0.18],
    [neck, -sizeMm * 0.5],
    [run, 0],
    [neck, sizeMm * 0.5],
    [neck, sizeMm * 0.18],
    [0, sizeMm * 0.18],
  ];
  return {
    kind: 'polygon',
    tag: 'pressing',
    points: outline.map(([along, across]) =>
      isLying ? { x: x + along, y: y + across } : { x: x + across, y: y + along },
    ),
    fill: BLACK,
    stroke: { widthMm: 0.35, black: PAPER.black },
  };
}

function heatBlocks(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock[] {
  const { job } = context;
  const films = jobFilms(job)
    .filter((each) => layoutsOnFilm(job, layouts, each.id).length > 0 && !isPerforated(job, each))
    .map(({ id, letter }) => ({ letter, onFilm: jobOnFilm(job, id) }));
  const film = listText(films.map(({ onFilm }) => onFilm.production?.film?.name ?? onFilm.film.name));
  const ofFilm = (letter: string, text: string) => (hasSeveralFilms(job) ? `Film ${letter}: ${text}` : text);
  const sign = job.displayUnit === 'in' ? '°F' : '°C';
  return [
    tuckTable(context, layouts),
    ...groundTable(context, layouts),
    listBlock(
      context,
      'Temperatures',
      [
        `Air, surface and film at ${BLANK} to ${BLANK} ${sign} (data sheet of ${film}).`,
        ...films.flatMap(({ letter, onFilm }) =>
          [heatSentence(onFilm), stretchSentence(onFilm)].flatMap((text) =>
            text ? [ofFilm(letter, text)] : [],
          ),
        ),
        'Measure on the film with an infrared thermometer, and keep the heat gun moving.',
      ].map(entry),
    ),
    listBlock(context, 'Clean before you install', CLEANING.map(entry)),
    listBlock(context, 'Press', [...PRESSING, stretchTest(job.displayUnit)].map(entry)),
    listBlock(context, 'Afterwards', [
      entry(`Wash no sooner than ${BLANK} after installing, by hand (data sheet of ${film}).`, 0),
      entry(`The data sheets of ${film}, of its laminate and of the paint come before this sheet.`, 1),
    ]),
  ];
}

/** Common practice, no source; the data sheets of film and paint take precedence. */
const CLEANING: readonly string[] = [
  'Fresh paint is cured and outgassed by its maker’s figure.',
  'Wash, rinse, and let the vehicle dry for a day: gaps and moldings hold water.',
  'Take off wax, grease and old adhesive with the cleaner that the film’s maker names.',
  'Wipe once more with a clean cloth, dry it with a second one before the cleaner dries by itself.',
  'Clean the insides of gaps, edges and corners last: film lifts there first.',
];

const PRESSING: readonly string[] = [
  'Arrows show the way: a lying panel from its middle to both ends, an upright one down its middle, then to both sides.',
  'Each stroke overlaps the one before; press toward the free edge, away from film that lies already.',
  'Press film into a recess without pulling it; warm it where it has to give, and set it with heat afterwards.',
  'Post-heat gaps, recesses, curves, tucked edges and the ends of all seams.',
];

/**
 * Stretch test: tape across a recess, cut at the deepest point and pushed in; the gap is the stretch. Common practice,
 * no source.
 */
const stretchTest = (unit: DisplayUnit): string =>
  `Stretch: bridge a recess with ${unit === 'in' ? '10 in' : '200 mm'} of tape, cut it at the deepest point, push it in. A gap of ${unit === 'in' ? '1 1/2 in' : '30 mm'} is 15 %.`;

/** Whether film ends on the edges of a gap, as at a door whose edges are not wrapped. */
const isEndedAtGap = ({ panels }: SideLayout, seam: Seam): boolean =>
  panels.some(({ edges }) =>
    EDGES.some((edge) => {
      const at = edges[edge];
      return at.kind === 'seam' && at.seamId === seam.id && at.trim === 'edge';
    }),
  );

/** Film that wraps into gaps and around edges, edge by edge and seam by seam. */
function tuckTable(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock {
  const unit = context.job.displayUnit;
  const rows = layouts.flatMap((layout) => {
    const { side } = layout;
    const code: Cell = { text: side.code, style: boldStyle(context) };
    const byBleed = Map.groupBy(EDGES, (edge) => side.bleed[edge]);
    const edges = [...byBleed].map(([bleedMm, same]): Cell[] => [
      code,
      { text: `${same.map((edge) => endName(edge, side)).join(', ')} edge` },
      bleedMm > 0
        ? { text: sheetLength(bleedMm, unit), style: boldStyle(context) }
        : { text: 'ends on the outline' },
      { text: bleedMm > 0 ? 'post-heat' : 'press down' },
    ]);
    const gaps = sideKeys(layout)
      .seams.filter(({ seam }) => seam.joint === 'gap')
      .map(({ key, seam }): Cell[] => {
        const [before, after] = seam.direction === 'vertical' ? ['left', 'right'] : ['upper', 'lower'];
        const wraps = `${before} ${sheetLength(seam.firstMm, unit)}, ${after} ${sheetLength(seam.secondMm, unit)}`;
        if (isEndedAtGap(layout, seam)) {
          return [
            code,
            { text: `${key}, gap at ${seamNearText(layout, seam, unit)}` },
            { text: 'ends on its edges' },
            { text: 'press down' },
          ];
        }
        return [
          code,
          { text: `${key}, gap at ${seamNearText(layout, seam, unit)}` },
          { text: wraps, style: boldStyle(context) },
          { text: 'post-heat' },
        ];
      });
    return [...edges, ...gaps];
  });
  return tableBlock(
    context,
    `Tuck and wrap, in ${UNIT_NAME[unit]}`,
    [
      { head: 'Side', share: 0.09 },
      { head: 'Where', share: 0.5 },
      { head: 'How far', share: 0.26 },
      { head: 'Heat', share: 0.15 },
    ],
    rows,
  );
}

const GROUND_ACTS: Readonly<Record<Ground['kind'], string>> = {
  recess: 'feed film in, form warm, post-heat all of it',
  curve: 'warm, press on without pulling, post-heat all of it',
};

/** Recesses and curves: their place and stretch, with a blank for a measured value where no depth is known. */
function groundTable(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock[] {
  const unit = context.job.displayUnit;
  const rows = layouts.flatMap((layout) => {
    const stretches = jobGroundStretches(context.job, layout);
    return layout.side.ground.map((ground): Cell[] => {
      const here = stretches.filter((stretch) => stretch.ground === ground);
      const feeds = here
        .filter(({ feedMm }) => feedMm > LENGTH_TOLERANCE_MM)
        .map(({ panel, feedMm, measure }) => `${panel.label} ${sheetLengthUp(feedMm, unit)} (${measure})`);
      return [
        { text: layout.side.code, style: boldStyle(context) },
        { text: `${ground.name} (${ground.kind})` },
        {
          text: `${noFilmPlace(layout, ground, unit)}, ${sheetSize({ width: ground.rect.widthMm, height: ground.rect.heightMm }, unit)}`,
        },
        {
          text: [
            GROUND_ACTS[ground.kind],
            ...(feeds.length > 0 ? [`feed in at least ${feeds.join(', ')}`] : []),
          ].join('; '),
          style: boldStyle(context),
        },
        {
          text:
            here.length === 0
              ? `${BLANK} %`
              : `${stretchText(Math.max(...here.map(({ stretchPercent }) => stretchPercent)))} %`,
        },
      ];
    });
  });
  if (rows.length === 0) return [];
  return [
    tableBlock(
      context,
      `Recesses and curves, in ${UNIT_NAME[unit]}`,
      [
        { head: 'Side', share: 0.09 },
        { head: 'What', share: 0.2 },
        { head: 'From the end, up, size', share: 0.27 },
        { head: 'Do', share: 0.28 },
        { head: 'Stretch, none fed in', share: 0.16 },
      ],
      rows,
    ),
  ];
}
