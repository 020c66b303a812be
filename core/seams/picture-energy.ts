import type { Mm } from '../measure/units.ts';
import { placePieces, type SeamAxis, type SeamPlace } from './seam-place.ts';

/**
 * How busy the picture is over a side, stored so that any rectangle is summed in a few steps.
 *
 * `busy` of a cell is a share from 0 (no visible detail) to 1 (a full-contrast edge in every pixel). `prefix` is its
 * summed-area table in mm²: entry (row, column) is the integral of busy over everything above and left of that grid
 * corner,
 *
 *     prefix[row * (columns + 1) + column] = Σ busy × cell area over rows < row, columns < column
 *
 * so the integral over a rectangle of cells is four entries added and subtracted.
 */
export interface PictureEnergy {
  readonly cellMm: Mm;
  readonly columns: number;
  readonly rows: number;
  readonly prefix: Float64Array;
}

export function pictureEnergyFromBusy(
  busy: Float32Array,
  columns: number,
  rows: number,
  cellMm: Mm,
): PictureEnergy {
  const stride = columns + 1;
  const prefix = new Float64Array(stride * (rows + 1));
  const cellArea = cellMm * cellMm;
  for (let row = 0; row < rows; row++) {
    let sum = 0;
    for (let column = 0; column < columns; column++) {
      sum += busy[row * columns + column]! * cellArea;
      prefix[(row + 1) * stride + column + 1] = prefix[row * stride + column + 1]! + sum;
    }
  }
  return { cellMm, columns, rows, prefix };
}

/**
 * Running integral of busy along the positions of an axis, over the range `from`..`to` across it: entry k is the
 * integral from 0 to k cells, in mm². Bands are then differences of two entries.
 */
export function energyAlong(energy: PictureEnergy, axis: SeamAxis, from: Mm, to: Mm): Float64Array {
  const isVertical = axis === 'vertical';
  const count = isVertical ? energy.columns : energy.rows;
  const acrossCount = isVertical ? energy.rows : energy.columns;
  const stride = energy.columns + 1;
  const at = (index: number, across: number): number =>
    energy.prefix[isVertical ? across * stride + index : index * stride + across]!;

  // Between two grid corners the integral is linear, so a position inside a cell is interpolated.
  const [fromCell, fromPart] = gridPosition(from / energy.cellMm, acrossCount);
  const [toCell, toPart] = gridPosition(to / energy.cellMm, acrossCount);
  const along = new Float64Array(count + 1);
  for (let k = 0; k <= count; k++) {
    const start = at(k, fromCell) * (1 - fromPart) + at(k, Math.min(fromCell + 1, acrossCount)) * fromPart;
    const end = at(k, toCell) * (1 - toPart) + at(k, Math.min(toCell + 1, acrossCount)) * toPart;
    along[k] = end - start;
  }
  return along;
}

/** Reads a running integral at a position in mm; constant past both ends, where there is no picture. */
export function energyUpTo(along: Float64Array, cellMm: Mm, position: Mm): number {
  const [cell, part] = gridPosition(position / cellMm, along.length - 1);
  const next = Math.min(cell + 1, along.length - 1);
  return along[cell]! * (1 - part) + along[next]! * part;
}

/** Smallest band width: the eye judges the picture around an edge, not on it. */
export const NARROWEST_BAND_MM = 10;

/**
 * The band in which a seam must register: its overlap, or NARROWEST_BAND_MM if that is wider. Offsets from the seam.
 */
export function registerBand(first: Mm, second: Mm): { readonly before: Mm; readonly after: Mm } {
  const short = Math.max(0, NARROWEST_BAND_MM - (first + second)) / 2;
  return { before: second + short, after: first + short };
}

/** Mean busy share in the band around a seam × length of the seam, in meters of full-contrast picture to match. */
export function busyMeters(energy: PictureEnergy, place: SeamPlace, first: Mm, second: Mm): number {
  const band = registerBand(first, second);
  return placePieces(place, energy.cellMm).reduce((sum, { axis, at, from, to, lengthShare }) => {
    const [start, end] = [at - band.before, at + band.after];
    const integral =
      axis === 'vertical'
        ? energyWithin(energy, start, from, end, to)
        : energyWithin(energy, from, start, to, end);
    return sum + (Math.max(0, integral / (band.before + band.after)) * lengthShare) / 1000;
  }, 0);
}

/** The integral of busy over a rectangle given by its edges, in mm². */
export function energyWithin(energy: PictureEnergy, left: Mm, top: Mm, right: Mm, bottom: Mm): number {
  const corner = (x: Mm, y: Mm): number => {
    const [column, columnPart] = gridPosition(x / energy.cellMm, energy.columns);
    const [row, rowPart] = gridPosition(y / energy.cellMm, energy.rows);
    const stride = energy.columns + 1;
    const nextColumn = Math.min(column + 1, energy.columns);
    const upper = row * stride;
    const lower = Math.min(row + 1, energy.rows) * stride;
    const along = (start: number) =>
      energy.prefix[start + column]! * (1 - columnPart) + energy.prefix[start + nextColumn]! * columnPart;
    return along(upper) * (1 - rowPart) + along(lower) * rowPart;
  };
  return corner(right, bottom) - corner(left, bottom) - corner(right, top) + corner(left, top);
}

/** busyMeters from a running integral along the positions, for many seams of one strip. */
export function busyMetersAt(
  along: Float64Array,
  cellMm: Mm,
  at: Mm,
  band: { readonly before: Mm; readonly after: Mm },
): number {
  const integral = energyUpTo(along, cellMm, at + band.after) - energyUpTo(along, cellMm, at - band.before);
  // mm² of busy ÷ mm of band = mm of seam at full contrast.
  return Math.max(0, integral / (band.before + band.after)) / 1000;
}

/**
 * The integral of busy, in mm², in the band around each of many positions of an axis, over 0..`across`. For a strip
 * `a`..`b` across, subtract the value up to `a` from the value up to `b`.
 */
export function bandsUpTo(
  energy: PictureEnergy,
  axis: SeamAxis,
  across: Mm,
  positions: Float64Array,
  band: { readonly before: Mm; readonly after: Mm },
): Float64Array {
  const along = energyAlong(energy, axis, 0, across);
  const last = along.length - 1;
  const perCell = 1 / energy.cellMm;
  const out = new Float64Array(positions.length);
  for (let i = 0; i < out.length; i++) {
    const at = positions[i]!;
    out[i] =
      readUpTo(along, last, (at + band.after) * perCell) -
      readUpTo(along, last, (at - band.before) * perCell);
  }
  return out;
}

/** Called for every millimeter of a side, so it allocates nothing. */
function readUpTo(along: Float64Array, last: number, cells: number): number {
  if (cells <= 0) return along[0]!;
  if (cells >= last) return along[last]!;
  const cell = cells | 0;
  return along[cell]! + (along[cell + 1]! - along[cell]!) * (cells - cell);
}

function gridPosition(position: number, last: number): readonly [cell: number, part: number] {
  if (position <= 0) return [0, 0];
  if (position >= last) return [last, 0];
  const cell = Math.floor(position);
  return [cell, position - cell];
}
