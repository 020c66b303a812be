/** What lies over the sides for a while: the roll's width over a panel, and tapes. */
import type { Job } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { type Point, type Rect, rectBottom } from '../../core/measure/rect.ts';
import {
  clearPlace,
  group,
  pathNode,
  pxGroup,
  rectNode,
  tagHeightPx,
  tagNodes,
  tagWidthPx,
} from './draw-shapes.ts';
import type { FitGhost } from './fit-ghost.ts';
import type { NodeSpec } from './scene.ts';
import type { PlacedSide } from './sides-placed.ts';

export function ghostNodes(
  { at }: Pick<PlacedSide, 'at'>,
  ghost: FitGhost,
  job: Job,
  pxPerMm: number,
  /** Where the part of the bench ends that is seen. */
  seenToMm: number,
): NodeSpec {
  const { printable, excess, printableMm, leftMm } = ghost;
  const words =
    leftMm < 0
      ? `▲ ${lengthText(-leftMm, job.displayUnit)} wider than the roll prints`
      : `Roll prints ${lengthText(printableMm, job.displayUnit)}, ${lengthText(leftMm, job.displayUnit)} left`;
  // A tag that would run out of sight is drawn back into it.
  const tagX = Math.min(0, (seenToMm - at.x - printable.x) * pxPerMm - tagWidthPx(words));
  return group('ghost', { transform: `translate(${at.x} ${at.y})` }, [
    rectNode('halo', 'ghost-halo', printable),
    rectNode('rim', 'ghost-rim', printable),
    ...(excess ? [rectNode('excess', 'ghost-excess', excess)] : []),
    pxGroup('words', { x: printable.x, y: rectBottom(printable) }, pxPerMm, [
      tagNodes('tag', leftMm < 0 ? 'is-ghost is-stopped' : 'is-ghost', words, tagX, 4),
    ]),
  ]);
}

const TICK_PX = 6;

/** A tape between two points of the bench. */
export function tapeNodes(
  key: string,
  { from, to }: { readonly from: Point; readonly to: Point },
  job: Job,
  pxPerMm: number,
  lettering: readonly Rect[] = [],
): NodeSpec {
  const [dx, dy] = [(to.x - from.x) * pxPerMm, (to.y - from.y) * pxPerMm];
  const length = Math.hypot(dx, dy);
  const [ux, uy] = length > 0 ? [dx / length, dy / length] : [1, 0];
  const tick = (x: number, y: number) =>
    `M${x - uy * TICK_PX} ${y + ux * TICK_PX}L${x + uy * TICK_PX} ${y - ux * TICK_PX}`;
  const d = `M0 0L${dx} ${dy}${tick(0, 0)}${tick(dx, dy)}`;
  const words = lengthText(length / pxPerMm, job.displayUnit);
  const taken = lettering.map((rect) => ({
    x: (rect.x - from.x) * pxPerMm,
    y: (rect.y - from.y) * pxPerMm,
    width: rect.width * pxPerMm,
    height: rect.height * pxPerMm,
  }));
  const left = dx / 2 - tagWidthPx(words) / 2;
  const places = [
    { x: left, y: dy / 2 + 8 },
    { x: left, y: dy / 2 - 8 - tagHeightPx() },
    { x: dx + 8, y: dy - tagHeightPx() / 2 },
    { x: -8 - tagWidthPx(words), y: -tagHeightPx() / 2 },
  ];
  const at = clearPlace(places, words, taken);
  return pxGroup(key, from, pxPerMm, [
    pathNode('halo', 'measure-halo', d),
    pathNode('line', 'measure-line', d),
    tagNodes('tag', 'is-ghost', words, at.x, at.y),
  ]);
}
