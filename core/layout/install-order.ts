import type { Side } from '../job/schema.ts';
import { itemAt, valueAt } from '../measure/present.ts';
import { type Rect, rectBottom, rectRight } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/** `under` is installed before `over`. */
export interface LapConstraint {
  readonly under: string;
  readonly over: string;
}

interface Placed {
  readonly id: string;
  readonly net: Rect<'finished'>;
}

/**
 * The order in which the panels of a side are installed: under before over; where overlaps leave a choice, rear to
 * front, then bottom to top. Overlaps of a layout tree cannot form a cycle, because each split orders its parts along a
 * line, so a cycle is a bug and throws. Keeps ORD1.
 */
export function installOrder(
  panels: readonly Placed[],
  constraints: readonly LapConstraint[],
  front: Side['front'],
): string[] {
  const waitingFor = new Map(panels.map(({ id }) => [id, 0]));
  const released = new Map<string, string[]>();
  for (const { under, over } of constraints) {
    waitingFor.set(over, valueAt(waitingFor, over) + 1);
    const above = released.get(under);
    if (above) above.push(over);
    else released.set(under, [over]);
  }

  const byPreference = panels.toSorted((a, b) => rearThenBottom(a, b, front)).map(({ id }) => id);
  const rank = new Map(byPreference.map((id, index) => [id, index]));
  const ready = byPreference.filter((id) => waitingFor.get(id) === 0);
  const order: string[] = [];
  for (let next = ready.shift(); next !== undefined; next = ready.shift()) {
    order.push(next);
    for (const over of released.get(next) ?? []) {
      const waiting = valueAt(waitingFor, over) - 1;
      waitingFor.set(over, waiting);
      if (waiting === 0) insertByRank(ready, over, rank);
    }
  }
  if (order.length < panels.length) throw new Error('laps ask for a circle of panels, each under the next');
  return order;
}

/** Inserts `id` at its place in a list of panels sorted by preference. */
function insertByRank(ready: string[], id: string, rank: ReadonlyMap<string, number>): void {
  let [low, high] = [0, ready.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (valueAt(rank, itemAt(ready, middle)) < valueAt(rank, id)) low = middle + 1;
    else high = middle;
  }
  ready.splice(low, 0, id);
}

/** Keeps ORD2. */
function rearThenBottom(a: Placed, b: Placed, front: Side['front']): number {
  const rear = front === 'left' ? rectRight(b.net) - rectRight(a.net) : a.net.x - b.net.x;
  if (Math.abs(rear) > LENGTH_TOLERANCE_MM) return rear;
  return rectBottom(b.net) - rectBottom(a.net);
}
