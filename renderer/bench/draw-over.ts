/** What lies over the sides for a while: the roll's width over a panel, and tapes. */
import type { Job } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { longLengthText } from '../../core/measure/long-length.ts';
import { type Point, rectBottom } from '../../core/measure/rect.ts';
import type { Measure } from './bench-state.ts';
import { group, pathNode, pxGroup, rectNode, tagNodes, tagWidthPx } from './draw-shapes.ts';
import type { FitGhost } from './fit-ghost.ts';
import type { NodeSpec } from './scene.ts';
import type { PlacedPicture, PlacedSide } from './sides-placed.ts';

export function ghostNodes(
  { at }: Pick<PlacedSide, 'at'>,
  ghost: FitGhost,
  job: Job,
  pxPerMm: number,
): NodeSpec {
  const { printable, excess, printableMm, leftMm } = ghost;
  const words =
    leftMm < 0
      ? `▲ ${lengthText(-leftMm, job.displayUnit)} wider than the roll prints`
      : `Roll prints ${lengthText(printableMm, job.displayUnit)}, ${lengthText(leftMm, job.displayUnit)} left`;
  return group('ghost', { transform: `translate(${at.x} ${at.y})` }, [
    rectNode('fill', 'ghost-fill', printable),
    rectNode('halo', 'ghost-halo', printable),
    rectNode('rim', 'ghost-rim', printable),
    ...(excess ? [rectNode('excess', 'ghost-excess', excess)] : []),
    pxGroup('words', { x: printable.x, y: rectBottom(printable) }, pxPerMm, [
      tagNodes('tag', leftMm < 0 ? 'is-ghost is-stopped' : 'is-ghost', words, 0, 4),
    ]),
  ]);
}

const TICK_PX = 6;

/** A tape between two points of a page, drawn on whichever picture shows that page. */
export function measureNodes(measure: Measure, picture: PlacedPicture, job: Job, pxPerMm: number): NodeSpec {
  const onBench = ({ x, y }: Point): Point => ({
    x: picture.at.x + x * picture.scale,
    y: picture.at.y + y * picture.scale,
  });
  const [from, to] = [onBench(measure.from), onBench(measure.to)];
  const [dx, dy] = [(to.x - from.x) * pxPerMm, (to.y - from.y) * pxPerMm];
  const length = Math.hypot(dx, dy);
  const [ux, uy] = length > 0 ? [dx / length, dy / length] : [1, 0];
  const tick = (x: number, y: number) =>
    `M${x - uy * TICK_PX} ${y + ux * TICK_PX}L${x + uy * TICK_PX} ${y - ux * TICK_PX}`;
  const d = `M0 0L${dx} ${dy}${tick(0, 0)}${tick(dx, dy)}`;
  const words = longLengthText(length / pxPerMm, job.displayUnit);
  return pxGroup(`measure ${measure.id}`, from, pxPerMm, [
    pathNode('halo', 'measure-halo', d),
    pathNode('line', 'measure-line', d),
    tagNodes('tag', 'is-ghost', words, dx / 2 - tagWidthPx(words) / 2, dy / 2 + 8),
  ]);
}
