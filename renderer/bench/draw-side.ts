/** One side on the bench: its surroundings, areas and lines, panels and seams. */

import { type AreaShape, areaPoints } from '../../core/job/area-shape.ts';
import { bodyLineSpan } from '../../core/job/body-line.ts';
import { doorLines, doorOutline } from '../../core/job/door.ts';
import { sideItems } from '../../core/job/edits/edits.ts';
import { hasSeveralFilms, jobFilm, jobFilms, panelPrinter } from '../../core/job/job-films.ts';
import { linePath } from '../../core/job/line-path.ts';
import type { Door, Job, NoFilmArea, Side } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { type Panel, panelInside, panelOutline } from '../../core/layout/panel.ts';
import { panelFit } from '../../core/layout/panel-fit.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { pointsHull } from '../../core/measure/outline.ts';
import { pathPart, pointOnAxis } from '../../core/measure/path.ts';
import { polygonInsideAt } from '../../core/measure/polygon.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Point, type Rect, rectGrown } from '../../core/measure/rect.ts';
import { interfaceScale } from '../state/settings.ts';
import type { Selection, Shown } from './bench-state.ts';
import { doorSign } from './door-sign.ts';
import { seamNodes } from './draw-seam.ts';
import {
  acrossGroup,
  clearPlace,
  group,
  pathNode,
  patternedFrame,
  patternedOutline,
  pxGroup,
  rectNode,
  tagHeightPx,
  tagNodes,
  tagWidthPx,
} from './draw-shapes.ts';
import { filmHatching } from './patterns.ts';
import type { NodeSpec } from './scene.ts';
import { type PlacedSide, sideExtent } from './sides-placed.ts';

export interface SideLook {
  readonly job: Job;
  readonly pxPerMm: number;
  readonly shown: Shown;
  readonly selection: Selection;
  readonly hoveredId: string | undefined;
  /** Seams that do not move while their side is dragged. */
  readonly lockedSeamIds: ReadonlySet<string>;
  /** Whether the side's own name is written above it. */
  readonly isNamed: boolean;
  /** Lettering in the artwork, which tags avoid. */
  lettering(side: Side): readonly Rect<'finished'>[];
}

export function sideNodes({ layout, at }: PlacedSide, look: SideLook): NodeSpec {
  const { side } = layout;
  return group(`side ${side.id}`, { transform: `translate(${at.x} ${at.y})` }, [
    ...surroundNodes(layout, look),
    ...(look.shown.areas ? [...areaNodes(layout, look), ...guideNodes(layout, look)] : []),
    ...(look.shown.films ? filmNodes(layout, look) : []),
    ...layout.panels.flatMap((panel) => filmHatch(panel, look)),
    ...layout.panels.map((panel) => panelNodes(panel, look)),
    ...layout.seams.map((seam) =>
      seamNodes(seam, {
        pxPerMm: look.pxPerMm,
        isSelected: look.selection.kind === 'seams' && look.selection.seamIds.includes(seam.id),
        isHovered: look.hoveredId === seam.id,
        isLocked: look.lockedSeamIds.has(seam.id),
      }),
    ),
    rectNode('outline', 'side-outline', layout.outline),
    ...(look.shown.names ? tagsOf(layout, look) : []),
    ...(look.isNamed
      ? [
          pxGroup(
            'name',
            {
              x: sideExtent(layout, look.job.output.borderMm).x,
              y: sideExtent(layout, look.job.output.borderMm).y,
            },
            look.pxPerMm,
            [
              {
                key: 'text',
                tag: 'text',
                attrs: { class: 'side-name', x: 0, y: -8 },
                text: `${side.code}  ${side.name}`,
              },
            ],
          ),
        ]
      : []),
  ]);
}

/** A veil over everything outside the side, and the line up to which it is printed. */
function surroundNodes(layout: PlacedSide['layout'], { job }: SideLook): NodeSpec[] {
  const { outline, side } = layout;
  const printed = rectGrown(outline, side.bleed);
  const film = sideExtent(layout, job.output.borderMm);
  const hole = ({ x, y, width, height }: Rect) => `M${x} ${y}v${height}h${width}v${-height}z`;
  const frame = ({ x, y, width, height }: Rect) => `M${x} ${y}h${width}v${height}h${-width}z`;
  return [
    pathNode('veil', 'side-veil', frame(film) + hole(outline)),
    ...(printed.width > outline.width || printed.height > outline.height
      ? [rectNode('bleed', 'side-bleed', printed)]
      : []),
  ];
}

function areaNodes({ side, outline }: PlacedSide['layout'], look: SideLook): NodeSpec[] {
  const { pxPerMm, selection } = look;
  const isSelected = (id: string) => selection.kind === 'item' && selection.itemId === id;
  const area = (kind: string, item: AreaShape & { readonly id: string; readonly name: string }) => {
    const rect = rectFromStored<'finished'>(item.rect);
    if (item.outline) return outlinedNode(kind, item, look);
    const chosen = isSelected(item.id) ? ' is-selected' : '';
    const isNamed = look.shown.names && (isSelected(item.id) || look.hoveredId === item.id);
    return group(`${kind} ${item.id}`, {}, [
      ...(kind === 'no-film-area' ? [] : [patternedFrame('fill', `${kind}-fill`, rect, pxPerMm)]),
      rectNode('halo', 'area-halo', rect),
      rectNode('rim', `area-rim ${kind}-rim${chosen}`, rect),
      ...(kind === 'no-film-area' && !isPrinted(item) ? [crossNode(rect)] : []),
      ...(isNamed ? [nameNode(item.name, rect, pxPerMm)] : []),
      ...(chosen ? handleNodes(rect, pxPerMm) : []),
    ]);
  };
  return [
    ...side.ground.map((item) => area('ground', item)),
    ...side.noSeamAreas.map((item) => area('no-seam', item)),
    ...side.noFilmAreas.flatMap((item) => [
      ...(item.clearanceMm > 0 ? [clearanceNode(item, pxPerMm)] : []),
      area('no-film-area', item),
    ]),
    ...(side.doors ?? []).flatMap((door) => doorNodes(door, look)),
    ...side.bodyLines.flatMap((line): NodeSpec[] => {
      const path = pathPart(linePath(line), bodyLineSpan(line, outline));
      const points = path.map((point) => pointOnAxis(line.direction, point));
      const chosen = isSelected(line.id) ? ' is-selected' : '';
      const isNamed = look.shown.names && (isSelected(line.id) || look.hoveredId === line.id);
      const d = `M${points.map(({ x, y }) => `${x} ${y}`).join('L')}`;
      return [
        group(`line ${line.id}`, {}, [
          pathNode('halo', 'line-halo', d),
          pathNode('line', `body-line${chosen}`, d),
        ]),
        ...(chosen && line.shape
          ? points.map((at, index) => handleNode(`${line.id} ${index}`, at, pxPerMm))
          : []),
        ...(isNamed
          ? [
              pxGroup(`name ${line.id}`, firstOf(points), pxPerMm, [
                tagNodes('tag', 'is-area', shortened(line.name), 4, 4),
              ]),
            ]
          : []),
      ];
    }),
  ];
}

/** For a window whose glass gets film. */
const isPrinted = (item: AreaShape & { readonly windowFilm?: unknown }): boolean =>
  item.windowFilm !== undefined;

/** An area with an outline has handles at its corners, like a rectangle. */
function outlinedNode(
  kind: string,
  item: AreaShape & { readonly id: string; readonly name: string },
  look: SideLook,
): NodeSpec {
  const { pxPerMm } = look;
  const points = areaPoints(item);
  const d = pointsD(points);
  const isSelected = look.selection.kind === 'item' && look.selection.itemId === item.id;
  const isNamed = look.shown.names && (isSelected || look.hoveredId === item.id);
  return group(`${kind} with outline ${item.id}`, {}, [
    ...(kind === 'no-film-area' ? [] : [patternedOutline('fill', `${kind}-fill`, points, pxPerMm)]),
    pathNode('halo', 'area-halo', d),
    pathNode('rim', `area-rim ${kind}-rim${isSelected ? ' is-selected' : ''}`, d),
    ...(kind === 'no-film-area' && !isPrinted(item)
      ? [pathNode('cross', 'no-film-cross', hatchD(points, pxPerMm))]
      : []),
    ...(isNamed ? [nameNode(item.name, pointsHull(points), pxPerMm)] : []),
    ...(isSelected ? points.map((at, index) => handleNode(String(index), at, pxPerMm)) : []),
  ]);
}

const clearanceNode = (item: NoFilmArea, pxPerMm: number): NodeSpec =>
  item.outline
    ? {
        key: `edge ${item.id}`,
        tag: 'path',
        attrs: {
          class: 'clearance-band',
          d: pointsD(areaPoints(item)),
          'stroke-width': 2 * item.clearanceMm * pxPerMm,
        },
      }
    : rectNode(`edge ${item.id}`, 'no-film-clearance', grownAll(rectFromStored(item.rect), item.clearanceMm));

/** The edges of a door’s gap, and how it opens. */
function doorNodes(door: Door, look: SideLook): NodeSpec[] {
  const { pxPerMm } = look;
  const outline = doorOutline(door);
  if (!outline) return [];
  const isSelected = look.selection.kind === 'item' && look.selection.itemId === door.id;
  const isNamed = look.shown.names && (isSelected || look.hoveredId === door.id);
  const d = pointsD(outline.points);
  const sign = doorSign(door, outline.rect)
    .map((points) => `M${points.map(({ x, y }) => `${x} ${y}`).join('L')}`)
    .join('');
  const shaped = doorLines(door).flatMap(({ direction, ...line }) =>
    line.shape ? linePath(line).map((point) => pointOnAxis(direction, point)) : [],
  );
  return [
    group(`door ${door.id}`, {}, [
      pathNode('halo', 'line-halo', d),
      pathNode('gap', `body-line${isSelected ? ' is-selected' : ''}`, d),
      pathNode('motion halo', 'line-halo', sign),
      pathNode('motion', 'door-motion', sign),
      ...(isNamed ? [nameNode(door.name, outline.rect, pxPerMm)] : []),
      ...(isSelected ? handleNodes(outline.rect, pxPerMm) : []),
      ...(isSelected ? shaped.map((at, index) => handleNode(`point ${index}`, at, pxPerMm)) : []),
    ]),
  ];
}

/** Over the whole side and its film, so that it can be grabbed beside the artwork. */
function guideNodes(layout: PlacedSide['layout'], look: SideLook): NodeSpec[] {
  const { x, y, width, height } = sideExtent(layout, look.job.output.borderMm);
  return sideItems(layout.side, 'guides').map((guide) => {
    const isSelected = look.selection.kind === 'item' && look.selection.itemId === guide.id;
    const [from, length] = guide.direction === 'vertical' ? [y, height] : [x, width];
    const d = `M0 0V${length * look.pxPerMm}`;
    return acrossGroup(`guide ${guide.id}`, guide.direction, { at: guide.atMm, from }, look.pxPerMm, [
      pathNode('halo', 'line-halo', d),
      pathNode('line', `guide-line${isSelected ? ' is-selected' : ''}`, d),
    ]);
  });
}

/** The name of an area above it, on a plate: shown while the area is selected or under the pointer. */
const nameNode = (name: string, rect: Rect, pxPerMm: number): NodeSpec =>
  pxGroup('name', rect, pxPerMm, [
    tagNodes('tag', 'is-area', shortened(name), 0, -20 * interfaceScale.value),
  ]);

const LONGEST_NAME = 60;
const shortened = (name: string): string =>
  name.length > LONGEST_NAME ? `${name.slice(0, LONGEST_NAME - 1)}…` : name;

const grownAll = (rect: Rect, by: number): Rect =>
  rectGrown(rect, { top: by, right: by, bottom: by, left: by });

/** Distance on screen between the diagonals that fill a hole whose outline has any shape. */
const HATCH_PX = 14;

function hatchD(points: readonly Point[], pxPerMm: number): string {
  const turned = points.map(({ x, y }) => ({ x: x - y, y: x + y }));
  const { y, height } = pointsHull(turned);
  const step = Math.max(HATCH_PX / pxPerMm, height / MOST_HATCHES);
  const count = Math.floor(height / step);
  return Array.from({ length: count }, (_, index) => y + (index + 0.5) * step)
    .flatMap((u) => polygonInsideAt(turned, u).map(({ start, end }) => [u, start, end] as const))
    .map(([u, start, end]) => `M${(u + start) / 2} ${(u - start) / 2}L${(u + end) / 2} ${(u - end) / 2}`)
    .join('');
}

const MOST_HATCHES = 60;

/** Two diagonals, the drawing sign of a hole. */
const crossNode = ({ x, y, width, height }: Rect): NodeSpec =>
  pathNode('cross', 'no-film-cross', `M${x} ${y}l${width} ${height}M${x + width} ${y}l${-width} ${height}`);

const HANDLE_PX = 8;

export function handleNodes(rect: Rect, pxPerMm: number): NodeSpec[] {
  return [0, 0.5, 1].flatMap((fx) =>
    [0, 0.5, 1].flatMap((fy): NodeSpec[] => {
      if (fx === 0.5 && fy === 0.5) return [];
      const at = { x: rect.x + rect.width * fx, y: rect.y + rect.height * fy };
      return [handleNode(`${fx} ${fy}`, at, pxPerMm)];
    }),
  );
}

function handleNode(key: string, at: Point, pxPerMm: number): NodeSpec {
  const half = HANDLE_PX / 2;
  return pxGroup(`handle ${key}`, at, pxPerMm, [
    rectNode('square', 'handle', { x: -half, y: -half, width: HANDLE_PX, height: HANDLE_PX }),
  ]);
}

/** The film of the chosen panel with its border, and what it prints. */
function filmNodes(layout: PlacedSide['layout'], { selection }: SideLook): NodeSpec[] {
  return layout.panels
    .filter(({ id }) => selection.kind === 'panel' && selection.panelId === id)
    .flatMap((panel) => [
      rectNode('film', 'panel-film', panel.film),
      rectNode('printed', 'panel-printed', panel.printed),
      ...(panel.shape ? [pathNode('needed', 'panel-printed', pointsD(panel.shape.needed.points))] : []),
    ]);
}

const pointsD = (points: readonly Point[]): string => `M${points.map(({ x, y }) => `${x} ${y}`).join('L')}z`;

function panelNodes(panel: Panel, { selection }: SideLook): NodeSpec {
  const isSelected = selection.kind === 'panel' && selection.panelId === panel.id;
  const className = isSelected ? 'panel is-selected' : 'panel';
  const outline = panelOutline(panel);
  return outline
    ? pathNode(`panel with shape ${panel.id}`, className, pointsD(outline))
    : rectNode(`panel ${panel.id}`, className, panel.net);
}

/** The hatching of a panel on a film after the first, in pixels so that it looks the same at any zoom. */
function filmHatch(panel: Panel, { job, pxPerMm }: SideLook): NodeSpec[] {
  const hatching = filmHatching(jobFilms(job).findIndex(({ id }) => id === panel.filmId));
  if (hatching === undefined) return [];
  const { x, y, width, height } = panel.net;
  const area = rectNode(`film ${panel.id}`, hatching, {
    x: 0,
    y: 0,
    width: width * pxPerMm,
    height: height * pxPerMm,
  });
  return [pxGroup(`film of ${panel.id}`, { x, y }, pxPerMm, [area])];
}

const TAG_INSET_PX = 6;
/** A panel lower than this on screen, at the usual interface size, has no number. */
const LEAST_TAGGED_PX = 26;
/** Greatest share of the panel's width for a tag, so that the artwork stays visible. */
const MOST_TAG_SHARE = 0.6;

function tagsOf({ panels, side }: PlacedSide['layout'], look: SideLook): NodeSpec[] {
  const lettering = look.lettering(side);
  return panels.flatMap((panel) => panelTag(panel, look, lettering));
}

/** The number of a panel, and what prevents printing it; as much as fits. */
function panelTag(
  panel: Panel,
  { job, pxPerMm, selection }: SideLook,
  lettering: readonly Rect[],
): NodeSpec[] {
  const fit = panelFit(panel.film, panelPrinter(job, panel));
  const excess = fit.isTooWide
    ? `${lengthText(-fit.widthLeftMm, job.displayUnit)} too wide`
    : fit.isTooLong
      ? `${filmLengthText(-fit.lengthLeftMm, job.displayUnit)} too long`
      : undefined;
  const net = panelInside(panel);
  const [widthPx, heightPx] = [net.width * pxPerMm, net.height * pxPerMm];
  const isSelected = selection.kind === 'panel' && selection.panelId === panel.id;
  const letter = hasSeveralFilms(job) ? ` ${jobFilm(job, panel.filmId).letter}` : '';
  const named = `${panel.label}${letter}`;
  const full = excess === undefined ? named : `${named}  ▲ ${excess}`;
  const short = excess === undefined ? `${panel.number}${letter}` : `▲ ${panel.number}${letter}`;
  const leastPx = LEAST_TAGGED_PX * interfaceScale.value;
  const isRoomy = heightPx > leastPx * 2;
  const room = isRoomy ? widthPx * MOST_TAG_SHARE : widthPx - 2 * TAG_INSET_PX;
  const text = (isRoomy ? [full, named, short] : [short]).find((words) => tagWidthPx(words) <= room);
  if (text === undefined || heightPx < leastPx) return [];
  const px = (mm: number) => mm * pxPerMm;
  const taken = lettering.map(({ x, y, width, height }) => ({
    x: px(x - net.x),
    y: px(y - net.y),
    width: px(width),
    height: px(height),
  }));
  const right = widthPx - TAG_INSET_PX - tagWidthPx(text);
  const bottom = heightPx - TAG_INSET_PX - tagHeightPx();
  const places = [TAG_INSET_PX, bottom].flatMap((y) =>
    [TAG_INSET_PX, right, (TAG_INSET_PX + right) / 2].map((x) => ({ x, y })),
  );
  const at = clearPlace(places, text, taken);
  const className = `is-panel${isSelected ? ' is-selected' : ''}${excess === undefined ? '' : ' is-stopped'}`;
  return [pxGroup(`tag ${panel.id}`, net, pxPerMm, [tagNodes('tag', className, text, at.x, at.y)])];
}
