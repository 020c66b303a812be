import type { PackItem, RollPlacement } from '../../core/shop/rolls.ts';

interface Box {
  readonly panelId: string;
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

const SLACK = 1e-6;

/**
 * Plays the knife: cuts each roll across wherever no panel is hurt, then each piece lengthwise wherever no panel
 * is hurt, and names the panels that are then still joined to another. Written apart from the planner.
 */
export function panelsLeftJoined(items: readonly PackItem[], placements: readonly RollPlacement[]): string[] {
  const joined: string[] = [];
  for (const rollId of new Set(placements.map((place) => place.rollId))) {
    const boxes = placements.filter((place) => place.rollId === rollId).map((place) => boxOf(items, place));
    for (const band of pieces(boxes, 'y')) {
      for (const piece of pieces(band, 'x'))
        if (piece.length > 1) joined.push(...piece.map((box) => box.panelId));
    }
  }
  return joined;
}

/** Splits boxes by every straight cut through all of them, at an edge of one, that runs through none. */
function pieces(boxes: readonly Box[], axis: 'x' | 'y'): Box[][] {
  const low = (box: Box): number => (axis === 'x' ? box.x0 : box.y0);
  const high = (box: Box): number => (axis === 'x' ? box.x1 : box.y1);
  for (const cut of boxes.map(high)) {
    const before = boxes.filter((box) => high(box) <= cut + SLACK);
    const after = boxes.filter((box) => low(box) >= cut - SLACK);
    if (before.length > 0 && after.length > 0 && before.length + after.length === boxes.length) {
      return [...pieces(before, axis), ...pieces(after, axis)];
    }
  }
  return [[...boxes]];
}

function boxOf(items: readonly PackItem[], place: RollPlacement): Box {
  const item = items.find((candidate) => candidate.panelId === place.panelId);
  if (!item) throw new Error(`No panel ${place.panelId}.`);
  const [across, along] = place.turned ? [item.lengthMm, item.widthMm] : [item.widthMm, item.lengthMm];
  return {
    panelId: place.panelId,
    x0: place.xMm,
    x1: place.xMm + across,
    y0: place.yMm,
    y1: place.yMm + along,
  };
}
