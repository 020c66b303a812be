/** The parts of a strip. */
import type { Mm } from '../../measure/units.ts';
import type { Artwork } from '../../pdf/document/artwork.ts';
import type { StripPlacement } from './strip-page.ts';

/** A finished panel, opened. */
export interface StripPanel {
  readonly label: string;
  readonly pdf: Artwork;
  readonly sha256: string;
  /** Film size as the panel is oriented on its side. */
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  readonly placement: StripPlacement;
}
