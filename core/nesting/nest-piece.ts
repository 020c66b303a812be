import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { NestItem } from './nest-bounds.ts';

/** Finer than a length's tolerance, so that many pieces that just fit do not add up to one that does not. */
export const SLACK = LENGTH_TOLERANCE_MM / 10;

/** A rectangle to nest, the space beside and behind it included. `key` is the caller's own number for it. */
export interface NestPiece extends NestItem {
  readonly key: number;
}

/** Where a piece lies in its room. */
export interface NestPlace extends NestPiece {
  /** Index of the closed room, or −1 for the open one. */
  readonly room: number;
  readonly x: number;
  readonly y: number;
}

/** Free film: closed rooms that may be filled, and an open one of which as little length as possible is used. */
export interface NestRooms {
  readonly closed: readonly NestItem[];
  /** `height`: as much as there is. */
  readonly open: NestItem;
  /** No part of the open room between two cuts across it may be longer. */
  readonly longest: number;
}

/** Pieces of one size, which are interchangeable. */
export interface PieceKind extends NestItem {
  readonly keys: readonly number[];
}

/** Kinds by falling area, so that the order in which pieces are given makes no difference. */
export function pieceKinds(pieces: readonly NestPiece[]): PieceKind[] {
  const kinds = Map.groupBy(pieces, ({ width, height }) => `${width} ${height}`).values();
  return [...kinds]
    .map((same) => ({ width: same[0]!.width, height: same[0]!.height, keys: same.map(({ key }) => key) }))
    .sort((a, b) => b.width * b.height - a.width * a.height || b.height - a.height);
}
