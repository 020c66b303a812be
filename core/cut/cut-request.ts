/** Input of the cut, and its result for each panel. */

import type { OutputSize } from '../job/schema.ts';
import type { PageBox } from '../measure/page-box.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { FlateCodec } from '../pdf/file/byte-stream.ts';
import type { CropGain } from './image-crops.ts';
import type { MarksPainter } from './marks/marks-painter.ts';
import type { PanelInfo, Sha256 } from './panel-info.ts';

export interface PanelCut {
  /** Page of the artwork, counted from 1. */
  readonly page: number;
  /** The page box whose top left corner is the origin of `window`. */
  readonly box: PageBox;
  /** The printed area on the drawing. */
  readonly window: Rect<'drawn'>;
  /** Finished size ÷ drawn size. */
  readonly scale: number;
  /** Where the printed area is on the film; the same area as `window`. Becomes the BleedBox. */
  readonly printed: Rect<'film'>;
  /** What stays visible when installed. Becomes the TrimBox. */
  readonly net: Rect<'film'>;
  readonly filmWidthMm: Mm;
  readonly filmHeightMm: Mm;
  readonly size: OutputSize;
  /** The art is mirrored on the film; `printed` and `net` are the mirrored places. */
  readonly isMirrored?: true | undefined;
  readonly info: PanelInfo;
  readonly marks?: MarksPainter | undefined;
  /** Painted over the art, without changing the inks below. */
  readonly contours?: MarksPainter | undefined;
}

export interface DocumentTools {
  readonly sha256: Sha256;
  /** SHA-256 of the artwork, hexadecimal. */
  readonly artworkSha256: string;
  /** Called and awaited now and then; it may throw to stop. */
  pause?(): Promise<void>;
}

export interface CutTools extends DocumentTools {
  readonly flate: FlateCodec;
  /**
   * `needed`, the default: what shows in the window. `everything`: the page's whole content with whole pictures, for
   * comparison.
   */
  readonly carries?: 'needed' | 'everything';
  /** The least that a crop must save; `CROP_GAIN` by default. */
  readonly cropGain?: CropGain;
  /**
   * Called with the bytes of the artwork processed so far, every few milliseconds of work. It may wait, and may throw
   * to stop.
   */
  onBytes?(done: number, total: number): Promise<void> | void;
}

export interface CutPanel {
  /** The factor by which production enlarges: 1 unless a reduction was requested. */
  readonly enlargeBy: number;
  readonly userUnit: number;
  /** Sentences about pictures that were left whole although little of them shows. */
  readonly notes: readonly string[];
}
