/** Compares the pictures of a panel and of its window of the artwork, and says where and by how much they differ. */
import { rectFromStored } from '../job/stored-rect.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { displacement } from './displacement.ts';
import { AREA_REACH, type ComparedPictures, EDGE_REACH, picturesCompared } from './picture-comparison.ts';
import type { PixelWindow, SideGrid } from './side-grid.ts';
import { scaleText, shiftText, toneText, verificationFault } from './verification-fault.ts';
import type { VerificationPicture } from './verification-picture.ts';
import type { VerificationFault } from './verification-report.ts';

export interface PanelPictureResult {
  readonly compared: ComparedPictures | undefined;
  readonly fault: VerificationFault | undefined;
}

/** A shift or stretch that removes this share of the squared difference is taken as the cause. */
const EXPLAINED = 0.5;
/** How far a panel may be off its place before that shows at a seam. */
const SHIFT_LIMIT_MM = 0.2;
/** Below this mean difference, not counting rounding, nothing needs an explanation. */
const QUIET_MEAN = 0.05;
/**
 * Levels by which the whole may be lighter or darker; more means that a tone has changed although no pixel is far off.
 */
const TONE_LIMIT = 1;

/** How the two pictures were drawn, and what else is known about the panel. */
interface LookKind {
  /**
   * Whether the renderer rounds pictures to whole pixels, which stretches a part of one a little; a displacement
   * without any differing pixel is then the renderer's.
   */
  readonly roundsPictures?: boolean;
  /**
   * Whether every object and sample of the panel was read and equals the artwork's; then only differences over an area
   * count.
   */
  readonly isReadAsSame?: boolean;
}

/** Both pictures show the printed area; the source may show more. The border is not compared. */
export function panelPictureCompared(
  panel: ManifestPanel,
  source: VerificationPicture,
  picture: VerificationPicture,
  grid: SideGrid,
  { roundsPictures = false, isReadAsSame = false }: LookKind = {},
): PanelPictureResult {
  const part = grid.inside(rectFromStored(panel.printedBox));
  if (!part) return { compared: undefined, fault: undefined };
  const compared = picturesCompared(source, picture, part, isReadAsSame ? AREA_REACH : EDGE_REACH);
  if (roundsPictures && compared.differingPixels === 0 && compared.toneShift <= TONE_LIMIT)
    return { compared, fault: undefined };
  return { compared, fault: pictureFault(panel, { source, picture }, part, compared, grid) };
}

function pictureFault(
  { label, sideCode }: ManifestPanel,
  { source, picture }: { readonly source: VerificationPicture; readonly picture: VerificationPicture },
  part: PixelWindow,
  compared: ComparedPictures,
  grid: SideGrid,
): VerificationFault | undefined {
  const place = { panels: [label], sideCode };
  if (compared.meanBeyondRounding > QUIET_MEAN) {
    const { dx, dy, scaleX, scaleY, unexplained } = displacement(source, picture, part);
    const dxMm = dx * grid.mmPerPixel;
    const dyMm = dy * grid.mmPerPixel;
    const growthMm =
      Math.max(Math.abs(scaleX - 1) * part.width, Math.abs(scaleY - 1) * part.height) * grid.mmPerPixel;
    if (unexplained < EXPLAINED && growthMm > 2 * SHIFT_LIMIT_MM)
      return verificationFault(
        'panel-scaled',
        place,
        `The picture of ${label} is about ${scaleText(scaleX, scaleY)}.`,
      );
    if (unexplained < EXPLAINED && Math.hypot(dxMm, dyMm) > SHIFT_LIMIT_MM)
      return verificationFault(
        'panel-shifted',
        place,
        `The picture of ${label} lies about ${shiftText(dxMm, dyMm)} of where it should.`,
      );
  }
  if (compared.differingPixels > 0 || compared.toneShift > TONE_LIMIT) {
    const at = compared.differing && grid.rect(compared.differing);
    return verificationFault(
      'picture-differs',
      { ...place, at },
      `${label} does not look like the artwork: ${differenceText(compared)}.`,
    );
  }
  return undefined;
}

function differenceText({ differingShare, largest, mean }: ComparedPictures): string {
  const percent = differingShare * 100;
  const share = percent < 0.01 ? 'less than 0.01' : percent.toFixed(2);
  return `${share} % of its pixels differ, by up to ${toneText(largest)} of full tone, ${toneText(mean)} on average`;
}
