import { corrupt, ImageFault, type ImageProblemCode } from './image-problem.ts';
import type { PixelWindow } from './pixel-window.ts';

/** One color component of a JPEG frame (ITU-T T.81, B.2.2). */
export interface JpegComponent {
  readonly id: number;
  /** Sampling factors, 1 to 4: blocks across and down in one MCU of an interleaved scan. */
  readonly across: number;
  readonly down: number;
  /** Blocks that carry samples (T.81, A.2.2): what a scan of this component alone codes. */
  readonly blocksWide: number;
  readonly blocksHigh: number;
}

export interface JpegFrame {
  readonly coding: 'sequential' | 'progressive';
  readonly width: number;
  readonly height: number;
  readonly components: readonly JpegComponent[];
  /** Pixels that one minimum coded unit covers: crops begin on multiples of these. */
  readonly mcuWidth: number;
  readonly mcuHeight: number;
  readonly mcusAcross: number;
  readonly mcusDown: number;
  /**
   * How many pixels past a pixel a decoder reads when it smooths coarse chroma: one chroma sample where some component
   * is coarser than another along this axis, else 0. A window grown by this decodes to the same pixels inside, although
   * pixels at its border lost their neighbors.
   */
  readonly reachX: number;
  readonly reachY: number;
}

/** Start-of-frame markers that cropping by coefficients does not support (T.81, table B.1). */
const REFUSED_FRAMES: ReadonlyMap<number, readonly [ImageProblemCode, string]> = new Map([
  [
    0xc3,
    [
      'image-lossless-coding',
      'The JPEG is coded by the lossless process, which has no blocks to cut between.',
    ],
  ],
  [0xc5, ['image-hierarchical-coding', 'The JPEG is hierarchical: its layers predict each other.']],
  [0xc6, ['image-hierarchical-coding', 'The JPEG is hierarchical: its layers predict each other.']],
  [0xc7, ['image-hierarchical-coding', 'The JPEG is hierarchical: its layers predict each other.']],
  [0xc9, ['image-arithmetic-coding', 'The JPEG is arithmetic coded, which PDF readers do not support.']],
  [0xca, ['image-arithmetic-coding', 'The JPEG is arithmetic coded, which PDF readers do not support.']],
  [
    0xcb,
    [
      'image-lossless-coding',
      'The JPEG is coded by the lossless process, which has no blocks to cut between.',
    ],
  ],
  [0xcd, ['image-hierarchical-coding', 'The JPEG is hierarchical: its layers predict each other.']],
  [0xce, ['image-hierarchical-coding', 'The JPEG is hierarchical: its layers predict each other.']],
  [0xcf, ['image-hierarchical-coding', 'The JPEG is hierarchical: its layers predict each other.']],
]);

/** T.81, B.2.3: the blocks of one interleaved MCU. */
const MAX_BLOCKS_PER_MCU = 10;

export const isFrameMarker = (marker: number): boolean =>
  marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;

/** Reads a start-of-frame segment; `body` begins after the segment's length. Throws `ImageFault`. */
export function jpegFrameFromSegment(marker: number, body: Uint8Array): JpegFrame {
  const refusal = REFUSED_FRAMES.get(marker);
  if (refusal) throw new ImageFault(...refusal);
  if (body.length < 6) corrupt('The JPEG frame header is cut short.');
  const precision = body[0]!;
  const height = (body[1]! << 8) | body[2]!;
  const width = (body[3]! << 8) | body[4]!;
  const count = body[5]!;
  if (precision !== 8) {
    throw new ImageFault('image-precision', `The JPEG has ${precision} bits per sample; PDF allows 8 only.`);
  }
  if (height === 0) {
    throw new ImageFault('image-height-unknown', 'The JPEG states its height only after its first scan.');
  }
  if (width === 0 || count === 0 || count > 4 || body.length < 6 + 3 * count) {
    corrupt('The JPEG frame header states impossible measures.');
  }
  const factors = Array.from({ length: count }, (_, i) => {
    const at = 6 + 3 * i;
    return { id: body[at]!, across: body[at + 1]! >> 4, down: body[at + 1]! & 15 };
  });
  for (const { across, down } of factors) {
    if (across < 1 || across > 4 || down < 1 || down > 4)
      corrupt('The JPEG has a sampling factor outside 1 to 4.');
  }
  // A frame of one component is never interleaved: its MCU is one block, no matter what the factors are (T.81, A.2.2).
  const used = count === 1 ? factors.map(({ id }) => ({ id, across: 1, down: 1 })) : factors;
  if (used.reduce((sum, { across, down }) => sum + across * down, 0) > MAX_BLOCKS_PER_MCU) {
    corrupt(`The JPEG has more than ${MAX_BLOCKS_PER_MCU} blocks in one coded unit.`);
  }
  return frameFromFactors(marker === 0xc2 ? 'progressive' : 'sequential', width, height, used);
}

function frameFromFactors(
  coding: JpegFrame['coding'],
  width: number,
  height: number,
  factors: readonly { id: number; across: number; down: number }[],
): JpegFrame {
  const maxAcross = Math.max(...factors.map((f) => f.across));
  const maxDown = Math.max(...factors.map((f) => f.down));
  const blocks = (pixels: number, factor: number, max: number): number =>
    Math.ceil(Math.ceil((pixels * factor) / max) / 8);
  const reach = (max: number, each: readonly number[]): number => {
    const coarsest = Math.min(...each);
    return coarsest === max ? 0 : Math.ceil(max / coarsest);
  };
  return {
    coding,
    width,
    height,
    components: factors.map((f) => ({
      ...f,
      blocksWide: blocks(width, f.across, maxAcross),
      blocksHigh: blocks(height, f.down, maxDown),
    })),
    mcuWidth: 8 * maxAcross,
    mcuHeight: 8 * maxDown,
    mcusAcross: Math.ceil(width / (8 * maxAcross)),
    mcusDown: Math.ceil(height / (8 * maxDown)),
    reachX: reach(
      maxAcross,
      factors.map((f) => f.across),
    ),
    reachY: reach(
      maxDown,
      factors.map((f) => f.down),
    ),
  };
}

/** A crop in coded units: columns `left` to `right`, rows `top` to `bottom`, the ends excluded. */
export interface McuWindow {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** The coded units of a crop whose edges are already on theirs; any other crop is a bug and throws. */
export function mcuWindowExactly(crop: PixelWindow, frame: JpegFrame): McuWindow {
  const { x, y, width, height } = crop;
  const { mcuWidth, mcuHeight } = frame;
  const mcus = {
    left: Math.floor(x / mcuWidth),
    right: Math.ceil((x + width) / mcuWidth),
    top: Math.floor(y / mcuHeight),
    bottom: Math.ceil((y + height) / mcuHeight),
  };
  const isExact =
    mcus.left * mcuWidth === x &&
    mcus.top * mcuHeight === y &&
    Math.min(frame.width, mcus.right * mcuWidth) === x + width &&
    Math.min(frame.height, mcus.bottom * mcuHeight) === y + height;
  if (!isExact || x < 0 || y < 0 || width <= 0 || height <= 0) {
    throw new RangeError(`The crop ${JSON.stringify(crop)} does not lie on the coded units of the JPEG.`);
  }
  return mcus;
}
