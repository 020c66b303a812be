/** What the bench shows, and the selection. None of this is part of the job. */
import { computed, effect, signal } from '@preact/signals';
import { type ItemList, sideItems } from '../../core/job/edits/edits.ts';
import type { SeamDirection, Side } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { firstOf } from '../../core/measure/present.ts';
import type { Point, Rect } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { artworkFacts, job, layouts } from '../state/open-job.ts';
import { pointerPosition } from './pointer-position.ts';
import {
  type PlacedPicture,
  type PlacedSide,
  placedExtent,
  rectsAround,
  sidePicture,
  sidesPlaced,
} from './sides-placed.ts';
import {
  type PxPoint,
  type PxSize,
  TRUE_SIZE_PX_PER_MM,
  type Viewport,
  viewportFitted,
  viewportKeptInSight,
  viewportShowing,
  viewportZoomed,
} from './viewport.ts';

/** What the bench shows: one side, all of them, or a page of the artwork. */
export type Stage =
  | { readonly kind: 'side'; readonly sideId: string }
  | { readonly kind: 'all' }
  | { readonly kind: 'page'; readonly page: number };

export type Tool =
  | 'select'
  | 'seam-vertical'
  | 'seam-horizontal'
  | 'line-vertical'
  | 'line-horizontal'
  | 'line-points'
  | 'no-seam-area'
  | 'ground'
  | 'no-film-area'
  | 'door'
  | 'guide-vertical'
  | 'guide-horizontal'
  | 'distance'
  | 'measure'
  | 'trace'
  | 'side';

export type Selection =
  | { readonly kind: 'none' }
  | { readonly kind: 'side'; readonly sideId: string }
  | { readonly kind: 'panel'; readonly sideId: string; readonly panelId: string }
  | { readonly kind: 'seams'; readonly sideId: string; readonly seamIds: readonly string[] }
  | { readonly kind: 'item'; readonly sideId: string; readonly list: ItemList; readonly itemId: string };

/** What is drawn in addition to artwork and seams. */
export interface Shown {
  readonly artwork: boolean;
  readonly areas: boolean;
  readonly films: boolean;
  readonly names: boolean;
  readonly fit: boolean;
}

/** The two ends of a tape measurement, in drawn mm of a page. */
export interface Measure {
  readonly id: number;
  readonly page: number;
  readonly from: Point<'drawn'>;
  readonly to: Point<'drawn'>;
  /** The measured length; absent until entered. */
  readonly finishedMm?: Mm;
}

/** A rectangle that is drawn or dragged on an artwork page: a new side, or an existing one. */
export interface DraftRect {
  readonly sideId?: string;
  readonly rect: Rect<'drawn'>;
}

/** Text beside the pointer during a drag. */
export interface Readout {
  readonly at: PxPoint;
  readonly lines: readonly string[];
}

const FIT_MARGIN_PX = 28;
const NOTHING: Selection = { kind: 'none' };

const chosenStage = signal<Stage>({ kind: 'all' });
export const tool = signal<Tool>('select');
export const selection = signal<Selection>(NOTHING);
export const shown = signal<Shown>({ artwork: true, areas: true, films: true, names: true, fit: true });
export const measures = signal<readonly Measure[]>([]);
/** A side during a drag, before the drag becomes an edit. */
export const draft = signal<SideLayout | undefined>(undefined);
export const draftRect = signal<DraftRect | undefined>(undefined);
export const draftMeasure = signal<Measure | undefined>(undefined);
export const readout = signal<Readout | undefined>(undefined);
/** The panel whose film is compared with the roll, where it is not the selected one. */
export const ghostPanelId = signal<string | undefined>(undefined);
/** The seam, line or area under the pointer: it is highlighted and named. */
export const hoveredId = signal<string | undefined>(undefined);
/** A short status text, read out and shown below the canvas. */
export const announcement = signal('');
export const canvasSize = signal<PxSize>({ widthPx: 0, heightPx: 0 });
export const viewport = signal<Viewport>({ xMm: 0, yMm: 0, pxPerMm: 0.1 });

/** The selected stage, or the nearest existing one. */
export const stage = computed<Stage>(() => {
  const current = job.value;
  const wanted = chosenStage.value;
  if (!current || current.sides.length === 0) return { kind: 'page', page: pageOf(wanted) };
  if (wanted.kind !== 'side' || current.sides.some(({ id }) => id === wanted.sideId)) return wanted;
  return { kind: 'side', sideId: firstOf(current.sides).id };
});

const pageOf = (wanted: Stage): number =>
  wanted.kind === 'page' ? wanted.page : (artworkFacts.value?.pages[0]?.number ?? 1);

/** The layouts with the dragged side in its present state. */
export const benchLayouts = computed<readonly SideLayout[]>(() => {
  const dragged = draft.value;
  return dragged
    ? layouts.value.map((layout) => (layout.side.id === dragged.side.id ? dragged : layout))
    : layouts.value;
});

/** Width ÷ height, rounded so that dragging the dock does not cause flicker. */
const canvasShape = computed(() => {
  const { widthPx, heightPx } = canvasSize.value;
  return heightPx > 0 ? Math.max(0.25, Math.round((widthPx / heightPx) * 4) / 4) : 1;
});

export const placedSides = computed<readonly PlacedSide[]>(() => {
  const now = stage.value;
  const borderMm = job.value?.output.borderMm ?? 0;
  switch (now.kind) {
    case 'page':
      return [];
    case 'all':
      return sidesPlaced(benchLayouts.value, borderMm, canvasShape.value);
    case 'side':
      return benchLayouts.value
        .filter(({ side }) => side.id === now.sideId)
        .map((layout) => ({ layout, at: { x: 0, y: 0 } }));
  }
});

/** The page on the bench, at finished size with the origin of drawn space at the origin of the bench. */
export const stagePage = computed(() => {
  const now = stage.value;
  if (now.kind !== 'page') return undefined;
  return artworkFacts.value?.pages.find(({ number }) => number === now.page) ?? artworkFacts.value?.pages[0];
});

export const placedPictures = computed<readonly PlacedPicture[]>(() => {
  const scale = job.value?.scale ?? 1;
  const page = stagePage.value;
  if (page) {
    return [{ page: page.number, shown: rectFromStored(page.extent), at: { x: 0, y: 0 }, scale }];
  }
  return placedSides.value.flatMap((side) => sidePicture(side, scale) ?? []);
});

export const benchContent = computed<Rect>(() => {
  const page = stagePage.value;
  if (!page) return placedExtent(placedSides.value, job.value?.output.borderMm ?? 0);
  const scale = job.value?.scale ?? 1;
  const { x, y, width, height } = rectFromStored(page.extent);
  return rectsAround([{ x: x * scale, y: y * scale, width: width * scale, height: height * scale }]);
});

export const placedSide = (sideId: string): PlacedSide | undefined =>
  placedSides.value.find(({ layout }) => layout.side.id === sideId);

/** The side for edits and inspector: that of the selection, else the one on the bench. */
export const sideInHand = computed<Side | undefined>(() => {
  const chosen = selection.value;
  const now = stage.value;
  const id = chosen.kind !== 'none' ? chosen.sideId : now.kind === 'side' ? now.sideId : undefined;
  return job.value?.sides.find((side) => side.id === id);
});

export const layoutInHand = computed(() =>
  layouts.value.find((layout) => layout.side.id === sideInHand.value?.id),
);

export function showStage(next: Stage): void {
  chosenStage.value = next;
  selection.value = NOTHING;
  clearDrafts();
  if (!isToolFor(tool.value, next)) tool.value = 'select';
  if (job.value) keepStage(job.value.id, next);
  zoomToFit();
}

export function clearSelection(): void {
  selection.value = NOTHING;
}

/** Clears what a gesture shows before it becomes an edit. */
export function clearDrafts(): void {
  draft.value = undefined;
  draftRect.value = undefined;
  draftMeasure.value = undefined;
  readout.value = undefined;
  ghostPanelId.value = undefined;
}

/** The direction in which the current tool cuts. */
export function seamInHand(): SeamDirection | undefined {
  if (tool.value === 'seam-vertical') return 'vertical';
  return tool.value === 'seam-horizontal' ? 'horizontal' : undefined;
}

export function takeTool(next: Tool): void {
  clearDrafts();
  tool.value = next;
}

export function announce(words: string): void {
  announcement.value = words;
}

/** Whether the operator has zoomed or panned since everything was in view. */
let isViewOfOwn = false;

/** The canvas size changed: a fitted view is fitted again, any other view stays. */
export function resizeCanvas(size: PxSize): void {
  const isFirst = canvasSize.value.widthPx === 0;
  canvasSize.value = size;
  if (isFirst || !isViewOfOwn) zoomToFit();
}

export function zoomToFit(): void {
  isViewOfOwn = false;
  if (canvasSize.value.widthPx === 0) return;
  viewport.value = viewportFitted(benchContent.value, canvasSize.value, FIT_MARGIN_PX);
}

export function zoomBy(factor: number, about: PxPoint = canvasMiddle()): void {
  changeView(
    viewportZoomed(viewport.value, factor, about, { content: benchContent.value, size: canvasSize.value }),
  );
}

export function zoomToTrueSize(): void {
  zoomBy(TRUE_SIZE_PX_PER_MM / viewport.value.pxPerMm);
}

export function changeView(next: Viewport): void {
  isViewOfOwn = true;
  viewport.value = viewportKeptInSight(next, benchContent.value, canvasSize.value);
}

/** Moves a rectangle of a side into view. */
export function zoomToRect(rect: Rect): void {
  const next = viewportShowing(viewport.value, rect, canvasSize.value, FIT_MARGIN_PX * 2);
  const { xMm, yMm, pxPerMm } = viewport.value;
  if (next.xMm === xMm && next.yMm === yMm && next.pxPerMm === pxPerMm) return;
  isViewOfOwn = true;
  viewport.value = next;
}

const canvasMiddle = (): PxPoint => ({
  xPx: canvasSize.value.widthPx / 2,
  yPx: canvasSize.value.heightPx / 2,
});

/** Tools that do not change the job. */
export const isHarmless = (candidate: Tool): boolean =>
  candidate === 'select' || candidate === 'measure' || candidate === 'distance';

/** On a page sides are drawn; everything else is drawn on sides. */
export const isToolFor = (candidate: Tool, where: Stage): boolean =>
  candidate === 'trace'
    ? where.kind === 'side'
    : candidate === 'select' || candidate === 'measure' || (candidate === 'side') === (where.kind === 'page');

const STAGE_KEY = 'panelwright-stage';

/** Remembers the view of a job when it is left, for the next time it is opened on this machine. */
function keepStage(jobId: string, kept: Stage): void {
  sessionStorage.setItem(STAGE_KEY, JSON.stringify({ jobId, stage: kept }));
}

/** Called when a job is opened on the bench. */
export function openBench(): void {
  const current = job.value;
  if (!current) return;
  selection.value = NOTHING;
  draft.value = undefined;
  measures.value = [];
  announcement.value = '';
  pointerPosition.value = undefined;
  tool.value = 'select';
  const first = current.sides[0];
  chosenStage.value =
    stageOfLastTime(current.id) ?? (first ? { kind: 'side', sideId: first.id } : { kind: 'page', page: 1 });
  zoomToFit();
}

function stageOfLastTime(jobId: string): Stage | undefined {
  try {
    const kept = JSON.parse(sessionStorage.getItem(STAGE_KEY) ?? 'null') as {
      jobId: string;
      stage: Stage;
    } | null;
    return kept?.jobId === jobId ? kept.stage : undefined;
  } catch {
    return undefined;
  }
}

/** Removes items from the selection that an edit or undo removed. */
effect(() => {
  const chosen = selection.value;
  if (chosen.kind === 'none') return;
  const layout = layouts.value.find(({ side }) => side.id === chosen.sideId);
  if (!layout || !isStillThere(chosen, layout)) selection.value = NOTHING;
});

function isStillThere(chosen: Selection, layout: SideLayout): boolean {
  switch (chosen.kind) {
    case 'none':
    case 'side':
      return true;
    case 'panel':
      return layout.panels.some(({ id }) => id === chosen.panelId);
    case 'seams':
      return chosen.seamIds.every((id) => layout.seams.some((seam) => seam.id === id));
    case 'item':
      return sideItems(layout.side, chosen.list).some(({ id }) => id === chosen.itemId);
  }
}
