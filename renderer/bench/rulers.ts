/** The rulers above and beside the canvas, in finished lengths of the job's unit. */
import { type G, SVG, type Svg } from '@svgdotjs/svg.js';
import type { Mm } from '../../core/measure/units.ts';
import { job } from '../state/open-job.ts';
import { canvasSize, viewport } from './bench-state.ts';
import { type RulerTick, rulerTicks } from './ruler-ticks.ts';
import { type NodeSpec, Scene } from './scene.ts';

/** Thickness of a ruler; the style sheet has the same. */
const RULER_PX = 22;
const FINE_TICK_PX = 5;

export interface BenchRulers {
  show(): void;
  close(): void;
}

export function rulersMounted(top: HTMLElement, left: HTMLElement): BenchRulers {
  const rulers = [rulerMounted(top, 'top'), rulerMounted(left, 'left')] as const;
  let drawn: readonly unknown[] = [];
  return {
    show() {
      const now = [viewport.value, canvasSize.value, job.value?.displayUnit];
      if (now.every((value, index) => value === drawn[index])) return;
      drawn = now;
      const unit = job.value?.displayUnit ?? 'mm';
      const { xMm, yMm, pxPerMm } = viewport.value;
      const { widthPx, heightPx } = canvasSize.value;
      rulers[0].show(rulerTicks(xMm, xMm + widthPx / pxPerMm, pxPerMm, unit), xMm, pxPerMm);
      rulers[1].show(rulerTicks(yMm, yMm + heightPx / pxPerMm, pxPerMm, unit), yMm, pxPerMm);
    },
    close() {
      for (const ruler of rulers) ruler.close();
    },
  };
}

function rulerMounted(host: HTMLElement, edge: 'top' | 'left') {
  const svg: Svg = SVG().addTo(host).size('100%', '100%');
  svg.attr({ 'aria-hidden': 'true', focusable: 'false' });
  const group: G = svg.group();
  const scene = new Scene(group);
  return {
    show(ticks: readonly RulerTick[], fromMm: Mm, pxPerMm: number) {
      const at = (tick: RulerTick) => Math.round((tick.atMm - fromMm) * pxPerMm) + 0.5;
      const d = ticks
        .map((tick) => tickPath(edge, at(tick), tick.label === undefined ? FINE_TICK_PX : RULER_PX))
        .join('');
      const labels = ticks
        .filter(({ label }) => label !== undefined)
        .map((tick, index) => labelNode(edge, at(tick), tick.label!, index));
      scene.show([{ key: 'ticks', tag: 'path', attrs: { class: 'ruler-ticks', d } }, ...labels]);
    },
    close: () => svg.remove(),
  };
}

const tickPath = (edge: 'top' | 'left', at: number, length: number): string =>
  edge === 'top' ? `M${at} ${RULER_PX}v${-length}` : `M${RULER_PX} ${at}h${-length}`;

/** Labels are named by their turn, so that a pan moves them and makes none anew. */
const labelNode = (edge: 'top' | 'left', at: number, label: string, index: number): NodeSpec => ({
  key: `label ${index}`,
  tag: 'text',
  attrs: {
    class: 'ruler-label',
    transform: edge === 'top' ? `translate(${at + 3} 10)` : `translate(10 ${at + 3}) rotate(90)`,
  },
  text: label,
});
