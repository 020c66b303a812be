import type { EntropyWriter } from './jpeg-bits.ts';
import type { JpegFrame, McuWindow } from './jpeg-frame.ts';
import type { JpegScan } from './jpeg-markers.ts';

/** Rewrites one scan for every window, one row of coded units after another. */
export interface ScanRewriter {
  /** Marker segments that begin the scan of every window: tables, then the scan header. */
  readonly heads: readonly Uint8Array[];
  readonly writers: readonly EntropyWriter[];
  rewriteRow(mcuRow: number): void;
  /** Call this after the last row that any window needs. */
  finish(): void;
}

/**
 * The blocks of a scan in the order of its units. An interleaved unit holds all blocks of an MCU. A scan of one
 * component has units of one block, and only the blocks that carry samples (T.81, A.2.2 and A.2.3).
 */
export interface ScanGeometry {
  readonly isInterleaved: boolean;
  /** Units per row of the scan, and the number of such rows for each row of MCUs. */
  readonly unitsAcross: number;
  readonly unitRowsPerMcuRow: number;
  readonly unitRows: number;
  /** Units per row in one MCU. */
  readonly unitsPerMcu: number;
}

export function scanGeometry(scan: JpegScan, frame: JpegFrame): ScanGeometry {
  if (scan.components.length > 1) {
    return {
      isInterleaved: true,
      unitsAcross: frame.mcusAcross,
      unitRowsPerMcuRow: 1,
      unitRows: frame.mcusDown,
      unitsPerMcu: 1,
    };
  }
  const component = frame.components[scan.components[0]!.index]!;
  return {
    isInterleaved: false,
    unitsAcross: component.blocksWide,
    unitRowsPerMcuRow: component.down,
    unitRows: component.blocksHigh,
    unitsPerMcu: component.across,
  };
}

/** Units `left` to `right` of one row, and the windows that need them. */
export interface UnitSpan {
  readonly left: number;
  readonly right: number;
  readonly windows: readonly number[];
}

/**
 * Splits a row of units where any window begins or ends, so that the inner loops need not check windows for each unit.
 */
export function unitSpans(mcuRow: number, windows: readonly McuWindow[], geometry: ScanGeometry): UnitSpan[] {
  const { unitsAcross, unitsPerMcu } = geometry;
  const ranges = windows.map(({ left, right, top, bottom }) =>
    mcuRow >= top && mcuRow < bottom
      ? { left: left * unitsPerMcu, right: Math.min(unitsAcross, right * unitsPerMcu) }
      : { left: 0, right: 0 },
  );
  const cuts = new Set([0, unitsAcross]);
  for (const { left, right } of ranges) {
    cuts.add(left);
    cuts.add(right);
  }
  const ordered = [...cuts].sort((a, b) => a - b);
  return ordered.slice(1).map((right, i) => {
    const left = ordered[i]!;
    const wanting = ranges.flatMap((range, w) => (range.left <= left && range.right >= right ? [w] : []));
    return { left, right, windows: wanting };
  });
}

/** Counts units down to the next restart marker. */
export class RestartClock {
  private readonly interval: number;
  private left: number;

  constructor(interval: number) {
    this.interval = interval;
    this.left = interval === 0 ? Number.POSITIVE_INFINITY : interval;
  }

  /** Units that may be read before the next marker; 0: the marker comes next. */
  get unitsLeft(): number {
    return this.left;
  }

  spend(units: number): void {
    this.left -= units;
  }

  reset(): void {
    this.left = this.interval;
  }
}
