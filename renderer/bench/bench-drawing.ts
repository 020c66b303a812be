/**
 * Draws the bench: artwork tiles on a canvas, lines and words above it as SVG, rulers at its edges. One frame
 * at a time, and only what has changed since the last.
 */

import { effect } from '@preact/signals';
import { type G, SVG, type Svg } from '@svgdotjs/svg.js';
import { regionJoints } from '../../core/job/region.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Rect, rectGrown } from '../../core/measure/rect.ts';
import { ask } from '../client/client.ts';
import { artworkFacts, job, pageExtents } from '../state/open-job.ts';
import { interfaceScale } from '../state/settings.ts';
import {
  canvasSize,
  draftMeasure,
  draftRect,
  ghostPanelId,
  hoveredId,
  measures,
  placedPictures,
  placedSides,
  seamInHand,
  selection,
  shown,
  stage,
  stagePage,
  tool,
  viewport,
} from './bench-state.ts';
import { ghostNodes, measureNodes } from './draw-over.ts';
import { pageNodes } from './draw-page.ts';
import { sideNodes } from './draw-side.ts';
import { fitGhost } from './fit-ghost.ts';
import { addPatterns } from './patterns.ts';
import { isPictureAwaited, pictureProblem } from './picture-problem.ts';
import { quietOnBench } from './quiet-path.ts';
import { type BenchRulers, mountRulers } from './rulers.ts';
import { type NodeSpec, Scene } from './scene.ts';
import { type PlacedPicture, rectOnBench } from './sides-placed.ts';
import { TileStore } from './tile-store.ts';
import { drawnWindow, levelFor, levelTiles, type Tile, type TileBlock, tilesWanted } from './tiles.ts';

/** The same in both themes, as artwork is. */
const PAPER = '#dcdcdc';

/** Below this, signs are drawn smaller, or they would hide the artwork. */
const FAR_PX_PER_MM = 0.09;

export class BenchDrawing {
  readonly #canvas: HTMLCanvasElement;
  readonly #svg: Svg;
  readonly #world: G;
  readonly #scene: Scene;
  readonly #rulers: BenchRulers;
  readonly #tiles: TileStore<ImageBitmap>;
  readonly #disposals: (() => void)[] = [];
  #frame = 0;
  #drawnArtwork: string | undefined;

  constructor(parts: {
    readonly canvas: HTMLCanvasElement;
    readonly lines: HTMLElement;
    readonly topRuler: HTMLElement;
    readonly leftRuler: HTMLElement;
  }) {
    this.#canvas = parts.canvas;
    this.#svg = SVG().addTo(parts.lines).size('100%', '100%');
    this.#svg.attr({ 'aria-hidden': 'true', focusable: 'false' });
    addPatterns(this.#svg);
    this.#world = this.#svg.group();
    this.#scene = new Scene(this.#world);
    this.#rulers = mountRulers(parts.topRuler, parts.leftRuler);
    this.#tiles = new TileStore<ImageBitmap>({
      pictures: tilePictures,
      release: (picture) => picture.close(),
      onChange: () => this.#schedule(),
      now: () => performance.now(),
    });
    this.#disposals.push(effect(() => this.#follow()));
  }

  close(): void {
    cancelAnimationFrame(this.#frame);
    for (const dispose of this.#disposals) dispose();
    this.#tiles.forget();
    this.#svg.remove();
    this.#rulers.close();
  }

  /** Reads all that a frame depends on, so that any change of it asks for a frame. */
  #follow(): void {
    void [
      viewport.value,
      canvasSize.value,
      placedSides.value,
      placedPictures.value,
      selection.value,
      shown.value,
      job.value,
      stage.value,
      tool.value,
      measures.value,
      draftMeasure.value,
      draftRect.value,
      ghostPanelId.value,
      hoveredId.value,
      artworkFacts.value,
      quietOnBench.value,
      interfaceScale.value,
    ];
    this.#schedule();
  }

  #schedule(): void {
    if (this.#frame !== 0) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      this.#draw();
    });
  }

  #draw(): void {
    const current = job.value;
    if (!current || canvasSize.value.widthPx === 0) return;
    performance.mark('bench-frame-start');
    this.#followArtwork(current);
    this.#drawPictures();
    this.#world.attr('transform', worldTransform());
    this.#world.attr('class', viewport.value.pxPerMm < FAR_PX_PER_MM ? 'is-far' : '');
    this.#scene.show(benchNodes(current));
    this.#rulers.show();
    performance.measure('bench-frame', 'bench-frame-start');
  }

  #followArtwork(current: Job): void {
    const artwork = current.artwork && `${current.artwork.sha256} ${current.artwork.box}`;
    if (artwork === this.#drawnArtwork) return;
    this.#drawnArtwork = artwork;
    this.#tiles.forget();
  }

  #drawPictures(): void {
    const { widthPx, heightPx } = canvasSize.value;
    const ratio = window.devicePixelRatio;
    const [width, height] = [Math.round(widthPx * ratio), Math.round(heightPx * ratio)];
    if (this.#canvas.width !== width) this.#canvas.width = width;
    if (this.#canvas.height !== height) this.#canvas.height = height;
    const paper = this.#canvas.getContext('2d')!;
    paper.setTransform(1, 0, 0, 1, 0, 0);
    paper.clearRect(0, 0, width, height);
    this.#drawPapers(paper, ratio);
    const extents = pageExtents.value;
    if (!extents || !shown.value.artwork) return;
    const wanted: Tile[] = [];
    for (const picture of placedPictures.value) {
      const extent = extents.get(picture.page);
      if (!extent) continue;
      this.#drawPicture(paper, picture, extent, ratio);
      wanted.push(...tilesWanted(picture, extent, viewport.value, canvasSize.value, ratio));
    }
    // Every coarse picture before any sharp one, so that no side stays blank for long.
    this.#tiles.want(wanted.toSorted((a, b) => Number(a.level > 0) - Number(b.level > 0)));
    isPictureAwaited.value = this.#tiles.isWaiting;
    pictureProblem.value = placedPictures.value
      .map(({ page }) => this.#tiles.problem(page))
      .find((problem) => problem !== undefined);
  }

  /** A light ground where artwork will be, so that lines can be read before it has come, and without it. */
  #drawPapers(paper: CanvasRenderingContext2D, ratio: number): void {
    const { xMm, yMm, pxPerMm } = viewport.value;
    const k = pxPerMm * ratio;
    paper.fillStyle = PAPER;
    for (const placed of placedSides.value) {
      const { outline, side } = placed.layout;
      const { x, y, width, height } = rectOnBench(placed, rectGrown(outline, side.bleed));
      paper.fillRect((x - xMm) * k, (y - yMm) * k, width * k, height * k);
    }
  }

  /** Coarse tiles first, sharper ones over them; nothing beyond what the picture shows. */
  #drawPicture(
    paper: CanvasRenderingContext2D,
    picture: PlacedPicture,
    extent: Rect<'drawn'>,
    ratio: number,
  ): void {
    const window = drawnWindow(picture, viewport.value, canvasSize.value);
    if (!window) return;
    const { xMm, yMm, pxPerMm } = viewport.value;
    const k = pxPerMm * ratio;
    const px = (rect: Rect) => ({
      x: (picture.at.x + rect.x * picture.scale - xMm) * k,
      y: (picture.at.y + rect.y * picture.scale - yMm) * k,
      width: rect.width * picture.scale * k,
      height: rect.height * picture.scale * k,
    });
    paper.save();
    const clip = px(window);
    paper.beginPath();
    paper.rect(clip.x, clip.y, clip.width, clip.height);
    paper.clip();
    const sharp = levelFor(extent, k * picture.scale, picture.scale);
    for (const level of this.#levelsToDraw(picture, extent, window, sharp)) {
      for (const tile of levelTiles(picture.page, extent, level, window)) {
        const bitmap = this.#tiles.tile(tile);
        if (!bitmap) continue;
        const at = px(tile.window);
        // Half a pixel more closes the hairline that rounding leaves between two tiles.
        paper.drawImage(bitmap, at.x, at.y, at.width + 0.5, at.height + 0.5);
      }
    }
    paper.restore();
  }

  /** Only the sharp level where it is complete; else all below it, as far as they have come. */
  #levelsToDraw(
    picture: PlacedPicture,
    extent: Rect<'drawn'>,
    window: Rect<'drawn'>,
    sharp: number,
  ): readonly number[] {
    const isComplete = levelTiles(picture.page, extent, sharp, window).every(
      (tile) => this.#tiles.tile(tile) !== undefined,
    );
    return isComplete ? [sharp] : Array.from({ length: sharp + 1 }, (_, level) => level);
  }
}

async function tilePictures(block: TileBlock, signal: AbortSignal) {
  const reference = job.value?.artwork;
  if (!reference) return { ok: false, problem: noArtwork } as const;
  const { x, y, width, height } = block.window;
  const answer = await ask(
    'artwork:picture',
    {
      reference,
      page: block.page,
      window: { xMm: x, yMm: y, widthMm: width, heightMm: height },
      widthPx: block.widthPx,
    },
    { signal },
  );
  if (!answer.ok) return answer;
  const png = new Blob([answer.value.png as Uint8Array<ArrayBuffer>], { type: 'image/png' });
  const value = await Promise.all(
    block.parts.map(({ xPx, yPx, widthPx, heightPx }) =>
      // A picture of one tile is taken as it comes; its height may have been rounded otherwise.
      block.parts.length === 1 ? createImageBitmap(png) : createImageBitmap(png, xPx, yPx, widthPx, heightPx),
    ),
  );
  return { ok: true, value } as const;
}

const noArtwork = {
  code: 'artwork-none',
  message: 'The job has no artwork yet.',
  remedy: 'Import the artwork PDF.',
};

function worldTransform(): string {
  const { xMm, yMm, pxPerMm } = viewport.value;
  return `matrix(${pxPerMm} 0 0 ${pxPerMm} ${-xMm * pxPerMm} ${-yMm * pxPerMm})`;
}

function benchNodes(current: Job): readonly NodeSpec[] {
  const { pxPerMm } = viewport.value;
  const page = stagePage.value;
  return [
    ...(page
      ? pageNodes(page, { job: current, pxPerMm, selection: selection.value, draft: draftRect.value })
      : placedSides.value.map((placed) =>
          sideNodes(placed, {
            job: current,
            pxPerMm,
            shown: shown.value,
            selection: selection.value,
            hoveredId: hoveredId.value,
            lockedSeamIds: new Set(
              regionJoints(placed.layout.side.layout).flatMap(({ id, locked }) => (locked ? [id] : [])),
            ),
            isNamed: stage.value.kind === 'all',
          }),
        )),
    ...ghostsOver(current),
    ...tapesOver(current),
  ];
}

function ghostsOver(current: Job): readonly NodeSpec[] {
  const chosen = selection.value;
  const panelId = ghostPanelId.value ?? (chosen.kind === 'panel' ? chosen.panelId : undefined);
  if (!shown.value.fit || panelId === undefined) return [];
  const placed = placedSides.value.find(({ layout }) => layout.panels.some(({ id }) => id === panelId));
  const panel = placed?.layout.panels.find(({ id }) => id === panelId);
  if (!placed || !panel) return [];
  return [
    ghostNodes(placed, fitGhost(panel, current.printer, seamInHand()), current, viewport.value.pxPerMm),
  ];
}

function tapesOver(current: Job): readonly NodeSpec[] {
  const tapes = [...measures.value, ...(draftMeasure.value ? [draftMeasure.value] : [])];
  return tapes.flatMap((tape) => {
    const picture = placedPictures.value.find(({ page }) => page === tape.page);
    return picture ? [measureNodes(tape, picture, current, viewport.value.pxPerMm)] : [];
  });
}
