/** The rulers above and beside the canvas, in finished lengths of the job's unit. */
import { type G, SVG, type Svg } from '@svgdotjs/svg.js';
import { present } from '../../core/measure/present.ts';
import type { Mm } from '../../core/measure/units.ts';
import type { QuietCurve } from '../../core/seams/plan-answer.ts';
import { job } from '../state/open-job.ts';
import { interfaceScale } from '../state/settings.ts';
import { canvasSize, viewport } from './bench-state.ts';
import { quietCurveMost, quietOnBench, quietPath } from './quiet-path.ts';
import { type RulerTick, rulerTicks } from './ruler-ticks.ts';
import { type NodeSpec, Scene } from './scene.ts';

/** Thickness of a ruler at the usual size of the interface; the style sheet has the same. */
const RULER_PX = 22;
const FINE_TICK_PX = 5;
/** From the left edge to the foot of a turned label. */
const LEFT_LABEL_PX = 10;
/** Height of the quiet-line curve at its busiest place. */
const QUIET_PX = 16;
const LEAST_LABEL_GAP_PX = 64;

export interface BenchRulers {
  show(): void;
  close(): void;
}

export function mountRulers(top: HTMLElement, left: HTMLElement): BenchRulers {
  const rulers = [mountRuler(top, 'top'), mountRuler(left, 'left')] as const;
  let drawn: readonly unknown[] = [];
  return {
    show() {
      const quiet = quietOnBench.value;
      const scale = interfaceScale.value;
      const now = [viewport.value, canvasSize.value, job.value?.displayUnit, quiet, scale];
      if (now.every((value, index) => value === drawn[index])) return;
      drawn = now;
      const unit = job.value?.displayUnit ?? 'mm';
      const { xMm, yMm, pxPerMm } = viewport.value;
      const { widthPx, heightPx } = canvasSize.value;
      const ticks = (fromMm: Mm, lengthPx: number) =>
        rulerTicks(fromMm, fromMm + lengthPx / pxPerMm, pxPerMm, unit, LEAST_LABEL_GAP_PX * scale);
      rulers[0].show(ticks(xMm, widthPx), xMm, pxPerMm, quiet?.vertical);
      rulers[1].show(ticks(yMm, heightPx), yMm, pxPerMm, quiet?.horizontal);
    },
    close() {
      for (const ruler of rulers) ruler.close();
    },
  };
}

function mountRuler(host: HTMLElement, edge: 'top' | 'left') {
  const svg: Svg = SVG().addTo(host).size('100%', '100%');
  svg.attr({ 'aria-hidden': 'true', focusable: 'false' });
  const group: G = svg.group();
  const scene = new Scene(group);
  return {
    show(ticks: readonly RulerTick[], fromMm: Mm, pxPerMm: number, quiet: QuietCurve | undefined) {
      const scale = interfaceScale.value;
      const at = (tick: RulerTick) => Math.round((tick.atMm - fromMm) * pxPerMm) + 0.5;
      const d = ticks
        .map((tick) =>
          tickPath(edge, at(tick), (tick.label === undefined ? FINE_TICK_PX : RULER_PX) * scale, scale),
        )
        .join('');
      const labels = ticks
        .filter(({ label }) => label !== undefined)
        .map((tick, index) =>
          labelNode(edge, at(tick), present(tick.label, 'The number at a tick'), index, scale),
        );
      const curve = quiet
        ? [
            quietNode(
              quietPath(quiet, quietCurveMost(quiet), {
                edge,
                footPx: RULER_PX * scale,
                heightPx: QUIET_PX * scale,
                pxPerMm,
                fromMm,
              }),
            ),
          ]
        : [];
      scene.show([...curve, { key: 'ticks', tag: 'path', attrs: { class: 'ruler-ticks', d } }, ...labels]);
    },
    close: () => svg.remove(),
  };
}

/** How much picture a seam must register, along the ruler: low is quiet. */
const quietNode = (d: string): NodeSpec => ({
  key: 'quiet',
  tag: 'path',
  attrs: { class: 'ruler-quiet', d },
});

const tickPath = (edge: 'top' | 'left', at: number, length: number, scale: number): string =>
  edge === 'top' ? `M${at} ${RULER_PX * scale}v${-length}` : `M${RULER_PX * scale} ${at}h${-length}`;

/** Labels are keyed by their index, so that a pan moves them and creates none. */
const labelNode = (
  edge: 'top' | 'left',
  at: number,
  label: string,
  index: number,
  scale: number,
): NodeSpec => ({
  key: `label ${index}`,
  tag: 'text',
  attrs: {
    class: 'ruler-label',
    transform:
      edge === 'top'
        ? `translate(${at + 3} ${10 * scale})`
        : `translate(${LEFT_LABEL_PX * scale} ${at + 3}) rotate(90)`,
  },
  text: label,
});
