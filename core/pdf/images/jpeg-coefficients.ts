import type { JpegFrame } from './jpeg-frame.ts';

/** The coefficients of one row of coded units, by component: 64 to a block, in zigzag order. */
export class CoefficientRow {
  readonly components: readonly ComponentCoefficients[];

  constructor(frame: JpegFrame) {
    this.components = frame.components.map(({ across, down }) => {
      const blocksAcross = frame.mcusAcross * across;
      return { blocksAcross, values: new Int16Array(blocksAcross * down * 64) };
    });
  }

  clear(): void {
    for (const { values } of this.components) values.fill(0);
  }
}

export interface ComponentCoefficients {
  /** Blocks side by side, padding of the last unit included. */
  readonly blocksAcross: number;
  readonly values: Int16Array;
}
