/**
 * A seam on the bench, in the signs of the install map: a lap is a heavy line with teeth on the part that lies
 * on top, a butt two fine lines, a break two dashed lines. The edge that a lap hides is dashed, as hidden edges
 * are on drawings, and the film under it is hatched.
 */
import type { Seam } from '../../core/layout/panel.ts';
import { acrossGroup, pathNode, rectNode } from './draw-shapes.ts';
import type { NodeSpec } from './scene.ts';

const TOOTH_PX = 6;
const BUTT_GAP_PX = 2;
const BODY_GAP_PX = 3;
/** Bands narrower than this are a blur; the seam line alone says more. */
const LEAST_BAND_PX = 3;

export interface SeamLook {
  readonly pxPerMm: number;
  readonly isSelected: boolean;
  readonly isHovered: boolean;
  readonly isLocked: boolean;
}

export function seamNodes(seam: Seam, look: SeamLook): NodeSpec {
  const { pxPerMm } = look;
  const lengthPx = (seam.span.end - seam.span.start) * pxPerMm;
  const className = look.isSelected ? 'seam is-selected' : look.isHovered ? 'seam is-hovered' : 'seam';
  const line = (key: string, kind: string, offsetPx: number): NodeSpec =>
    pathNode(key, `${className} ${kind}`, `M${offsetPx} 0V${lengthPx}`);
  return acrossGroup(`seam ${seam.id}`, seam.direction, { at: seam.at, from: seam.span.start }, pxPerMm, [
    ...bandNodes(seam, pxPerMm, lengthPx),
    line('halo', 'seam-halo', 0),
    ...lineNodes(seam, line, lengthPx),
    ...(look.isLocked ? [lockNode(lengthPx)] : []),
  ]);
}

/** What the two parts print beyond the seam line. */
function bandNodes(seam: Seam, pxPerMm: number, lengthPx: number): NodeSpec[] {
  const firstPx = seam.firstMm * pxPerMm;
  const secondPx = seam.secondMm * pxPerMm;
  if (firstPx + secondPx < LEAST_BAND_PX) return [];
  const edge = (key: string, kind: string, atPx: number) =>
    pathNode(key, `lap-edge ${kind}`, `M${atPx} 0V${lengthPx}`);
  if (seam.joint !== 'lap') {
    return [
      ...(firstPx > 0 ? [edge('first', 'is-apart', firstPx)] : []),
      ...(secondPx > 0 ? [edge('second', 'is-apart', -secondPx)] : []),
    ];
  }
  const isFirstOver = seam.top === 'first';
  const hidden = isFirstOver
    ? { x: -secondPx, y: 0, width: secondPx, height: lengthPx }
    : { x: 0, y: 0, width: firstPx, height: lengthPx };
  const spare = isFirstOver ? firstPx : -secondPx;
  return [
    ...(hidden.width > 0
      ? [
          rectNode('hidden', 'lap-hidden', hidden),
          edge('hidden-edge', 'is-hidden', isFirstOver ? -secondPx : firstPx),
        ]
      : []),
    ...(spare !== 0 ? [edge('spare-edge', 'is-spare', spare)] : []),
  ];
}

function lineNodes(
  seam: Seam,
  line: (key: string, kind: string, offsetPx: number) => NodeSpec,
  lengthPx: number,
): NodeSpec[] {
  switch (seam.joint) {
    case 'lap':
      return [
        rectNode('teeth', `teeth over-${seam.top}`, {
          x: seam.top === 'first' ? -TOOTH_PX - 1 : 1,
          y: 0,
          width: TOOTH_PX,
          height: lengthPx,
        }),
        line('line', 'seam-lap', 0),
      ];
    case 'butt':
      return [line('first', 'seam-butt', -BUTT_GAP_PX), line('second', 'seam-butt', BUTT_GAP_PX)];
    case 'gap':
      return [line('first', 'seam-gap', -BODY_GAP_PX), line('second', 'seam-gap', BODY_GAP_PX)];
  }
}

/** A padlock in the middle of the seam. */
const lockNode = (lengthPx: number): NodeSpec => ({
  key: 'lock',
  tag: 'path',
  attrs: {
    class: 'seam-lock',
    transform: `translate(0 ${lengthPx / 2})`,
    d: 'M-6 -1h12v9h-12zM-3.5 -1v-3a3.5 3.5 0 0 1 7 0v3',
  },
});
