/**
 * A seam on the bench, in the signs of the install map: an overlap seam is a heavy line with teeth on the top part, a
 * butt seam two fine lines, a body-gap seam two dashed lines. The edge that a lap hides is dashed, as hidden edges are
 * on drawings, and the film under it is hatched.
 */
import type { Seam } from '../../core/layout/panel.ts';
import { type Path, pathMoved, pathPart, pathValue, pointOnAxis } from '../../core/measure/path.ts';
import type { Mm } from '../../core/measure/units.ts';
import { acrossGroup, group, pathNode, pxGroup, rectNode } from './draw-shapes.ts';
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
  if (seam.path) return shapedNodes(seam, seam.path, look);
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

/** A seam that slopes or curves, in the same signs; its teeth are drawn one by one along it. */
function shapedNodes(seam: Seam, path: Path, look: SeamLook): NodeSpec {
  const { pxPerMm } = look;
  const className = look.isSelected ? 'seam is-selected' : look.isHovered ? 'seam is-hovered' : 'seam';
  const part = pathPart(path, seam.span);
  const line = (key: string, kind: string, acrossMm: Mm): NodeSpec =>
    pathNode(key, kind, pathD(pathMoved(part, { across: acrossMm }), seam.direction));
  const px = (offset: number) => offset / pxPerMm;
  const [first, second] = [seam.firstMm, seam.secondMm].map((mm) => mm / seam.squareShare) as [Mm, Mm];
  const edges: readonly (readonly [string, Mm])[] =
    seam.joint === 'butt'
      ? []
      : seam.joint === 'gap'
        ? [
            ['is-apart', first],
            ['is-apart', -second],
          ]
        : seam.top === 'first'
          ? [
              ['is-hidden', -second],
              ['is-spare', first],
            ]
          : [
              ['is-hidden', first],
              ['is-spare', -second],
            ];
  const apartPx = seam.joint === 'butt' ? BUTT_GAP_PX : BODY_GAP_PX;
  const lines =
    seam.joint === 'lap'
      ? [teethNode(seam, part, pxPerMm), line('line', `${className} seam-lap`, 0)]
      : [-apartPx, apartPx].map((offset) =>
          line(`line ${offset}`, `${className} seam-${seam.joint}`, px(offset)),
        );
  const along = (seam.span.start + seam.span.end) / 2;
  const middle = pointOnAxis(seam.direction, { along, across: pathValue(path, along) });
  return group(`seam ${seam.id}`, {}, [
    ...edges
      .filter(([, mm]) => Math.abs(mm) * pxPerMm >= LEAST_BAND_PX)
      .map(([kind, mm], index) => line(`edge ${index}`, `lap-edge ${kind}`, mm)),
    line('halo', `${className} seam-halo`, 0),
    ...lines,
    ...(look.isLocked ? [pxGroup('lock', middle, pxPerMm, [lockNode(0)])] : []),
  ]);
}

const TOOTH_EVERY_PX = 10;

function teethNode(seam: Seam, part: Path, pxPerMm: number): NodeSpec {
  const tip = ((seam.top === 'first' ? -1 : 1) * (TOOTH_PX + 1)) / pxPerMm;
  const { start, end } = seam.span;
  const count = Math.max(1, Math.floor(((end - start) * pxPerMm) / TOOTH_EVERY_PX));
  const half = TOOTH_PX / 2 / pxPerMm;
  const d = Array.from({ length: count }, (_, index) => {
    const along = start + ((end - start) * (index + 0.5)) / count;
    const corner = (at: Mm, offset: Mm) => ({ along: at, across: pathValue(part, at) + offset });
    return `${pathD([corner(along - half, 0), corner(along, tip), corner(along + half, 0)], seam.direction)}z`;
  }).join('');
  // A node keeps its kind by its key, and a straight seam has a rectangle of teeth.
  return pathNode('teeth one by one', 'tooth', d);
}

const pathD = (path: Path, direction: Seam['direction']): string =>
  `M${path
    .map((point) => pointOnAxis(direction, point))
    .map(({ x, y }) => `${x} ${y}`)
    .join('L')}`;

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
