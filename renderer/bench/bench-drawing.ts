/**
 * Draws the bench: artwork tiles on a canvas, lines and words above it as SVG, rulers at its edges. One frame
 * at a time, and only what has changed since the last.
 */

import { effect } from '@preact/signals';
import { type G, SVG, type Svg } from '@svgdotjs/svg.js';
import { panelPrinter } from '../../core/job/job-films.ts';
import { regionJoints } from '../../core/job/region.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Point } from '../../core/measure/rect.ts';
import { artworkFacts, job } from '../state/open-job.ts';

import { photoView } from '../state/photo-view.ts';
import { interfaceScale } from '../state/settings.ts';
import { BenchPictures } from './bench-pictures.ts';
import {
  canvasSize,
  draftMeasure,
  draftRect,
  ghostPanelId,
  hoveredId,
  measures,
  placedPictures,
  placedSide,
  placedSides,
  seamInHand,
  selection,
  shown,
  stage,
  stagePage,
  tool,
  viewport,
} from './bench-state.ts';
import { distanceOnBench } from './distance.ts';
import { ghostNodes, tapeNodes } from './draw-over.ts';
import { pageNodes } from './draw-page.ts';
import { group, pathNode } from './draw-shapes.ts';
import { sideNodes } from './draw-side.ts';
import { fitGhost } from './fit-ghost.ts';
import { LOUPE_PX, loupe, loupeView } from './loupe.ts';
import { addPatterns } from './patterns.ts';
import { PhotoLayer } from './photo-layer.ts';
import { quietOnBench } from './quiet-path.ts';
import { type BenchRulers, mountRulers } from './rulers.ts';
import { type NodeSpec, Scene } from './scene.ts';
import { judgedRects } from './side-scan.ts';
import { rectOnBench } from './sides-placed.ts';
import { pathInHand, pathShape, tracedShape } from './trace.ts';

/** Below this, signs shrink, or they would hide the artwork. */
const FAR_PX_PER_MM = 0.09;

export class BenchDrawing {
  readonly #canvas: HTMLCanvasElement;
  readonly #svg: Svg;
  readonly #world: G;
  readonly #scene: Scene;
  readonly #rulers: BenchRulers;
  readonly #loupe: HTMLCanvasElement;
  readonly #pictures: BenchPictures;
  readonly #photo = new PhotoLayer(() => this.#schedule());
  readonly #disposals: (() => void)[] = [];
  #frame = 0;

  constructor(parts: {
    readonly canvas: HTMLCanvasElement;
    readonly loupe: HTMLCanvasElement;
    readonly lines: HTMLElement;
    readonly topRuler: HTMLElement;
    readonly leftRuler: HTMLElement;
  }) {
    this.#canvas = parts.canvas;
    this.#loupe = parts.loupe;
    this.#svg = SVG().addTo(parts.lines).size('100%', '100%');
    this.#svg.attr({ 'aria-hidden': 'true', focusable: 'false' });
    addPatterns(this.#svg);
    this.#world = this.#svg.group();
    this.#scene = new Scene(this.#world);
    this.#rulers = mountRulers(parts.topRuler, parts.leftRuler);
    this.#pictures = new BenchPictures(() => this.#schedule());
    this.#disposals.push(effect(() => this.#follow()));
  }

  close(): void {
    cancelAnimationFrame(this.#frame);
    for (const dispose of this.#disposals) dispose();
    this.#pictures.forget();
    this.#photo.forget();
    this.#svg.remove();
    this.#rulers.close();
  }

  /** Reads everything that a frame depends on, so that any change requests a frame. */
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
      distanceOnBench(),
      loupe.value,
      draftRect.value,
      ghostPanelId.value,
      hoveredId.value,
      artworkFacts.value,
      quietOnBench.value,
      photoView.value,
      tracedShape.value,
      pathInHand.value,
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
    this.#pictures.followArtwork();
    this.#drawPictures();
    this.#world.attr('transform', worldTransform());
    this.#world.attr('class', viewport.value.pxPerMm < FAR_PX_PER_MM ? 'is-far' : '');
    this.#scene.show(benchNodes(current));
    this.#rulers.show();
    performance.measure('bench-frame', 'bench-frame-start');
  }

  #drawPictures(): void {
    const wanted = this.#pictures.paint(this.#canvas, viewport.value, canvasSize.value);
    this.#photo.paint(this.#canvas, viewport.value, canvasSize.value);
    const now = loupe.value;
    const seen = now && loupeView(now, viewport.value);
    const closer = seen
      ? this.#pictures.paint(this.#loupe, seen, { widthPx: LOUPE_PX, heightPx: LOUPE_PX })
      : [];
    this.#pictures.want([...closer, ...wanted]);
  }
}

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
            lettering: judgedRects,
          }),
        )),
    ...traceOver(),
    ...ghostsOver(current),
    ...tapesOver(current),
    ...distanceOver(current),
  ];
}

function traceOver(): readonly NodeSpec[] {
  const placed = placedSides.value[0];
  if (!placed || tracedShape.value === '') return [];
  const held = pathInHand.value;
  return [
    group('trace', { transform: `translate(${placed.at.x} ${placed.at.y})` }, [
      pathNode('halo', 'trace-halo', tracedShape.value),
      pathNode('paths', 'trace-paths', tracedShape.value),
      ...(held
        ? [
            pathNode('held-halo', 'trace-held-halo', pathShape(held)),
            pathNode('held', 'trace-held', pathShape(held)),
          ]
        : []),
    ]),
  ];
}

function ghostsOver(current: Job): readonly NodeSpec[] {
  const chosen = selection.value;
  const panelId = ghostPanelId.value ?? (chosen.kind === 'panel' ? chosen.panelId : undefined);
  if (!shown.value.fit || panelId === undefined) return [];
  const placed = placedSides.value.find(({ layout }) => layout.panels.some(({ id }) => id === panelId));
  const panel = placed?.layout.panels.find(({ id }) => id === panelId);
  if (!placed || !panel) return [];
  const { pxPerMm, xMm } = viewport.value;
  const seenToMm = xMm + canvasSize.value.widthPx / pxPerMm;
  return [
    ghostNodes(
      placed,
      fitGhost(panel, panelPrinter(current, panel), seamInHand()),
      current,
      pxPerMm,
      seenToMm,
    ),
  ];
}

function tapesOver(current: Job): readonly NodeSpec[] {
  const tapes = [...measures.value, ...(draftMeasure.value ? [draftMeasure.value] : [])];
  return tapes.flatMap(({ id, page, from, to }) => {
    const picture = placedPictures.value.find((candidate) => candidate.page === page);
    if (!picture) return [];
    const { at, scale } = picture;
    const onBench = ({ x, y }: Point): Point => ({ x: at.x + x * scale, y: at.y + y * scale });
    return [
      tapeNodes(`measure ${id}`, { from: onBench(from), to: onBench(to) }, current, viewport.value.pxPerMm),
    ];
  });
}

function distanceOver(current: Job): readonly NodeSpec[] {
  const distance = distanceOnBench();
  const placed = distance && placedSide(distance.sideId);
  if (!distance || !placed) return [];
  const onBench = ({ x, y }: Point): Point => ({ x: placed.at.x + x, y: placed.at.y + y });
  const [from, to] = [onBench(distance.from), onBench(distance.to)];
  const lettering = judgedRects(placed.layout.side).map((rect) => rectOnBench(placed, rect));
  return [tapeNodes('distance', { from, to }, current, viewport.value.pxPerMm, lettering)];
}
