import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { NestItem } from './nest-bounds.ts';

/** Smaller than the length tolerance, so that many pieces that just fit do not add up to one that does not. */
export const SLACK = LENGTH_TOLERANCE_MM / 10;

/** A rectangle to nest, including the space beside and behind it. `key` is the caller's number for it. */
export interface NestPiece extends NestItem {
  readonly key: number;
}

/** The place of a piece in its room. */
export interface NestPlace extends NestPiece {
  /** Index of the closed room, or −1 for the open one. */
  readonly room: number;
  readonly x: number;
  readonly y: number;
}

/** Free film: closed rooms that may be filled, and an open room of which as little length as possible is used. */
export interface NestRooms {
  readonly closed: readonly NestItem[];
  /** `height`: the available length. */
  readonly open: NestItem;
  /** Greatest length of a part of the open room between two cuts across it. */
  readonly longest: number;
}

/** Pieces of one size, which are interchangeable. */
export interface PieceKind extends NestItem {
  readonly keys: readonly number[];
}

/** Kinds by decreasing area, so that the order of the pieces makes no difference. */
export function pieceKinds(pieces: readonly NestPiece[]): PieceKind[] {
  const kinds = Map.groupBy(pieces, ({ width, height }) => `${width} ${height}`).values();
  return [...kinds]
    .map((same) => ({ width: same[0]!.width, height: same[0]!.height, keys: same.map(({ key }) => key) }))
    .sort((a, b) => b.width * b.height - a.width * a.height || b.height - a.height);
}
