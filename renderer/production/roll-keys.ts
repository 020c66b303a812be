/** Keys on a panel of the roll plan. */
import type { JobProduction } from '../../core/production/job-production.ts';
import type { RollPlacement } from '../../core/shop/rolls.ts';
import { isReadOnly } from '../state/open-job.ts';
import { items, lockedIds, panelLock, panelsUnlock, placements } from './production-state.ts';
import type { DrawnPanel } from './roll-drawing.ts';
import { type PlaceContext, placeOnFilm, placeTurned } from './roll-place.ts';

const STEP_MM = 10;
const FAR_STEP_MM = 100;
const FINE_STEP_MM = 1;

/** Film lies on its side on the screen: right is along the feed, up is toward the right edge. */
const WAYS: Readonly<Record<string, { readonly along: number; readonly across: number }>> = {
  ArrowRight: { along: 1, across: 0 },
  ArrowLeft: { along: -1, across: 0 },
  ArrowUp: { along: 0, across: 1 },
  ArrowDown: { along: 0, across: -1 },
};

/** What a place is judged against: the panel, its roll, and who else lies there. */
export function placeContext(made: JobProduction, place: RollPlacement): PlaceContext | undefined {
  const itemOf = new Map(items.value.map((item) => [item.panelId, item]));
  const item = itemOf.get(place.panelId);
  const roll = made.rolls.find(({ id }) => id === place.rollId);
  if (!item || !roll) return undefined;
  const others = placements.value
    .filter(({ rollId, panelId }) => rollId === roll.id && panelId !== place.panelId)
    .flatMap((other) => {
      const otherItem = itemOf.get(other.panelId);
      return otherItem ? [{ item: otherItem, place: other }] : [];
    });
  return { item, roll, rules: made.rules, others };
}

export function panelKeyPressed(
  event: KeyboardEvent,
  { item, place }: DrawnPanel,
  made: JobProduction,
): void {
  if (isReadOnly.value || event.ctrlKey || event.metaKey) return;
  const context = placeContext(made, place);
  if (!context) return;
  const next = placeByKey(event, place, context, made);
  if (next) panelLock(next, `Move ${item.label} on the roll`, `roll-keys ${item.panelId}`);
  else if (event.key.toLowerCase() === 'l') {
    if (lockedIds.value.has(item.panelId)) panelsUnlock(new Set([item.panelId]));
    else panelLock(place, `Lock ${item.label} on the roll`);
  } else return;
  event.preventDefault();
  event.stopPropagation();
}

function placeByKey(
  event: KeyboardEvent,
  place: RollPlacement,
  context: PlaceContext,
  made: JobProduction,
): RollPlacement | undefined {
  const way = WAYS[event.key];
  if (way) {
    const step = event.altKey ? FINE_STEP_MM : event.shiftKey ? FAR_STEP_MM : STEP_MM;
    return placeOnFilm(
      { ...place, xMm: place.xMm + way.across * step, yMm: place.yMm + way.along * step },
      context,
    );
  }
  if (event.key.toLowerCase() === 't') return placeTurned(place, context);
  if (event.key !== 'PageDown' && event.key !== 'PageUp') return undefined;
  const index = made.rolls.findIndex(({ id }) => id === place.rollId);
  const roll = made.rolls[index + (event.key === 'PageDown' ? 1 : -1)];
  return roll && placeOnFilm({ ...place, rollId: roll.id }, { ...context, roll });
}
