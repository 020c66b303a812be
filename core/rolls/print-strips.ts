import { firstOf, itemAt } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type Box, type CutTree, type CutWay, cutLeaves, cutTree } from '../nesting/cut-tree.ts';
import type { RollRules } from '../shop/rolls.ts';
import { sentLength } from './roll-lengths.ts';
import { type PlacedPanel, placedBox, type RollBand, type RollUse } from './roll-use.ts';

/** Bands that are printed as one file and cut apart afterwards. */
export interface PrintStrip {
  readonly rollId: string;
  readonly startMm: Mm;
  readonly endMm: Mm;
  readonly bands: readonly RollBand[];
}

/**
 * Joins the bands of a roll into as few files as the longest print and the longest page allow, in print order. A
 * band that is longer is a file of its own.
 */
export function printStrips(
  use: RollUse,
  rules: RollRules,
  longestPageMm: Mm = Number.POSITIVE_INFINITY,
): PrintStrip[] {
  const strips: { rollId: string; startMm: Mm; endMm: Mm; bands: RollBand[] }[] = [];
  for (const band of use.bands) {
    const strip = strips.at(-1);
    const joined = strip ? band.endMm - strip.startMm : Number.POSITIVE_INFINITY;
    const isShort =
      sentLength(joined, rules) <= rules.longestPrintMm + LENGTH_TOLERANCE_MM &&
      joined <= longestPageMm + LENGTH_TOLERANCE_MM;
    if (strip && isShort) {
      strip.bands.push(band);
      strip.endMm = band.endMm;
    } else {
      strips.push({ rollId: use.rollId, startMm: band.startMm, endMm: band.endMm, bands: [band] });
    }
  }
  return strips;
}

/** A cut within a band, from edge to edge of the piece that it parts. */
export interface BandCutLine {
  readonly way: CutWay;
  /** How far from the left edge of the film, or from its start. */
  readonly atMm: Mm;
  /** The piece's ends, the other way. */
  readonly fromMm: Mm;
  readonly toMm: Mm;
  /** Film between the panels on its two sides. */
  readonly spaceMm: Mm;
  /** Its place in the order of the cuts of its band, where that matters; absent where one way does all. */
  readonly number?: number;
}

/** Where the knife goes: first across the whole roll, then within each band, piece by piece. */
export interface CutLines {
  readonly acrossAtMm: readonly Mm[];
  readonly withinBands: readonly BandCutLine[];
}

/**
 * Cuts through the middle of each gap between the panels of a roll or a strip. Within a band the cuts of one way come
 * first, then those that part each of the pieces further:
 *
 *     ┌────┬──────┐ cut across the roll
 *     │    1      │
 *     │    ├──2───┤
 *     │    │      │
 *     └────┴──────┘ cut across the roll
 */
export function cutLines(bands: readonly RollBand[], filmWidthMm: Mm): CutLines {
  const acrossAtMm = bands.slice(1).map((band, index) => (itemAt(bands, index).endMm + band.startMm) / 2);
  const withinBands = bands.flatMap(({ panels, startMm, endMm }) => {
    const film = { x0: 0, x1: filmWidthMm, y0: startMm, y1: endMm };
    const lines = linesWithin(cutTree(panels, placedBox), film);
    const isOneWay = lines.every(({ way }) => way === firstOf(lines).way);
    return isOneWay ? lines : lines.map((line, index) => ({ ...line, number: index + 1 }));
  });
  return { acrossAtMm, withinBands };
}

function linesWithin(tree: CutTree<PlacedPanel>, piece: Box): BandCutLine[] {
  if (tree.kind !== 'cut') return [];
  const { way } = tree;
  const isAcross = way === 'across';
  const ends = tree.parts.map((part) => {
    const boxes = cutLeaves(part).map(placedBox);
    return {
      start: Math.min(...boxes.map(({ x0, y0 }) => (isAcross ? y0 : x0))),
      end: Math.max(...boxes.map(({ x1, y1 }) => (isAcross ? y1 : x1))),
    };
  });
  const lines = ends.slice(1).map(({ start }, index): BandCutLine => {
    const { end } = itemAt(ends, index);
    const [fromMm, toMm] = isAcross ? [piece.x0, piece.x1] : [piece.y0, piece.y1];
    return { way, atMm: (end + start) / 2, fromMm, toMm, spaceMm: start - end };
  });
  const edges = [
    isAcross ? piece.y0 : piece.x0,
    ...lines.map(({ atMm }) => atMm),
    isAcross ? piece.y1 : piece.x1,
  ];
  return [
    ...lines,
    ...tree.parts.flatMap((part, index) => {
      const [start, end] = [itemAt(edges, index), itemAt(edges, index + 1)];
      return linesWithin(
        part,
        isAcross ? { ...piece, y0: start, y1: end } : { ...piece, x0: start, x1: end },
      );
    }),
  ];
}
