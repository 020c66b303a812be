import type { JpegFrame } from './jpeg-frame.ts';

/** The coefficients of one row of coded units, by component: 64 to a block, in zigzag order. */
export class CoefficientRow {
  readonly components: readonly ComponentCoefficients[];

  constructor(frame: JpegFrame) {
    this.components = frame.components.map(({ across, down }) => {
      const blocksAcross = frame.mcusAcross * across;
      const blocks = blocksAcross * down;
      return { blocksAcross, values: new Int16Array(blocks * 64), extents: new Uint8Array(blocks) };
    });
  }

  clear(): void {
    for (const { values, extents } of this.components) {
      values.fill(0);
      extents.fill(0);
    }
  }
}

export interface ComponentCoefficients {
  /** Blocks per row, including the padding of the last unit. */
  readonly blocksAcross: number;
  readonly values: Int16Array;
  /** For each block, the index of the last nonzero AC coefficient, or 0: most blocks end early. */
  readonly extents: Uint8Array;
}
