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
 * Plays the knife: cuts each roll across wherever no panel is hurt, then each piece lengthwise, then each of these
 * across, as long as a cut from edge to edge of a piece parts it, and names the panels that are then still joined to
 * another. Written apart from the planner.
 */
export function panelsLeftJoined(items: readonly PackItem[], placements: readonly RollPlacement[]): string[] {
  return [...new Set(placements.map((place) => place.rollId))].flatMap((rollId) =>
    leftJoined(
      placements.filter((place) => place.rollId === rollId).map((place) => boxOf(items, place)),
      'y',
    ),
  );
}

function leftJoined(boxes: readonly Box[], axis: 'x' | 'y', isLastTry = false): string[] {
  if (boxes.length < 2) return [];
  const parts = pieces(boxes, axis);
  if (parts.length === 1 && isLastTry) return boxes.map(({ panelId }) => panelId);
  return parts.flatMap((part) => leftJoined(part, axis === 'x' ? 'y' : 'x', parts.length === 1));
}

/** Lengths of the pieces that cuts across a whole roll leave, from the first panel of each to its last. */
export function bandLengths(items: readonly PackItem[], placements: readonly RollPlacement[]): number[] {
  return [...new Set(placements.map((place) => place.rollId))].flatMap((rollId) =>
    pieces(
      placements.filter((place) => place.rollId === rollId).map((place) => boxOf(items, place)),
      'y',
    ).map((band) => Math.max(...band.map(({ y1 }) => y1)) - Math.min(...band.map(({ y0 }) => y0))),
  );
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
