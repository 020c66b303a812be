/** What a strip is made of. */
import type { Mm } from '../../measure/units.ts';
import type { Artwork } from '../../pdf/document/artwork.ts';
import type { StripPlacement } from './strip-page.ts';

/** A finished panel, opened. */
export interface StripPanel {
  readonly label: string;
  readonly pdf: Artwork;
  readonly sha256: string;
  /** Film size as the panel is on its side. */
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  readonly placement: StripPlacement;
}
