/** Keys on a panel of the roll plan. */
import type { RollPlacement } from '../../core/shop/rolls.ts';
import type { RollDesk, RollsLaid } from './roll-desk.ts';
import type { DrawnPanel } from './roll-drawing.ts';
import { type PlacementContext, placementOnFilm, placementTurned } from './roll-placement.ts';

const STEP_MM = 10;
const FAR_STEP_MM = 100;
const FINE_STEP_MM = 1;

/** Film is shown sideways on the screen: right is along the feed, up is toward the right edge. */
const WAYS: Readonly<Record<string, { readonly along: number; readonly across: number }>> = {
  ArrowRight: { along: 1, across: 0 },
  ArrowLeft: { along: -1, across: 0 },
  ArrowUp: { along: 0, across: 1 },
  ArrowDown: { along: 0, across: -1 },
};

/** What a place is judged by: the panel, its roll, and the other panels there. */
export function placementContext(
  desk: RollDesk,
  laid: RollsLaid,
  place: RollPlacement,
): PlacementContext | undefined {
  const itemOf = new Map(desk.items.value.map((item) => [item.panelId, item]));
  const item = itemOf.get(place.panelId);
  const roll = laid.rolls.find(({ id }) => id === place.rollId);
  if (!item || !roll) return undefined;
  const others = desk.placements.value
    .filter(({ rollId, panelId }) => rollId === roll.id && panelId !== place.panelId)
    .flatMap((other) => {
      const otherItem = itemOf.get(other.panelId);
      return otherItem ? [{ item: otherItem, place: other }] : [];
    });
  return { item, roll, rules: laid.rules, others };
}

export function handlePanelKey(
  event: KeyboardEvent,
  { item, place }: DrawnPanel,
  desk: RollDesk,
  laid: RollsLaid,
): void {
  if (desk.isReadOnly.value || event.ctrlKey || event.metaKey) return;
  const context = placementContext(desk, laid, place);
  if (!context) return;
  const next = placementByKey(event, place, context, laid);
  if (next) desk.lockPanel(next, `Move ${item.label} on the roll`, `roll-keys ${item.panelId}`);
  else if (event.key.toLowerCase() === 'l') {
    if (desk.lockedIds.value.has(item.panelId)) desk.unlockPanels(new Set([item.panelId]));
    else desk.lockPanel(place, `Lock ${item.label} on the roll`);
  } else return;
  event.preventDefault();
  event.stopPropagation();
}

function placementByKey(
  event: KeyboardEvent,
  place: RollPlacement,
  context: PlacementContext,
  laid: RollsLaid,
): RollPlacement | undefined {
  const way = WAYS[event.key];
  if (way) {
    const step = event.altKey ? FINE_STEP_MM : event.shiftKey ? FAR_STEP_MM : STEP_MM;
    return placementOnFilm(
      { ...place, xMm: place.xMm + way.across * step, yMm: place.yMm + way.along * step },
      context,
    );
  }
  if (event.key.toLowerCase() === 't') return placementTurned(place, context);
  if (event.key !== 'PageDown' && event.key !== 'PageUp') return undefined;
  const index = laid.rolls.findIndex(({ id }) => id === place.rollId);
  const roll = laid.rolls[index + (event.key === 'PageDown' ? 1 : -1)];
  return roll && placementOnFilm({ ...place, rollId: roll.id }, { ...context, roll });
}
