/** Checks that neighbors have the same image where they overlap. */
import { rectFromStored } from '../job/stored-rect.ts';
import { type Rect, rectIntersection } from '../measure/rect.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { type ComparedPictures, picturesCompared } from './picture-comparison.ts';
import type { PixelWindow, SideGrid } from './side-grid.ts';
import { toneText, verificationFault } from './verification-fault.ts';
import type { VerificationPicture } from './verification-picture.ts';
import type { VerificationFault } from './verification-report.ts';

/** Two panels of a side whose printed areas overlap in a band. */
export interface Band {
  readonly panels: readonly [ManifestPanel, ManifestPanel];
  readonly rect: Rect<'finished'>;
  /** The pixels wholly inside the band. */
  readonly window: PixelWindow;
}

/** The bands of a side that are wide enough to compare, each once. */
export function panelBands(panels: readonly ManifestPanel[], grid: SideGrid): Band[] {
  return panels.flatMap((first, index) =>
    panels.slice(index + 1).flatMap((second): Band[] => {
      const rect = rectIntersection<'finished'>(
        rectFromStored(first.printedBox),
        rectFromStored(second.printedBox),
      );
      const window = rect && grid.inside(rect);
      return window ? [{ panels: [first, second], rect, window }] : [];
    }),
  );
}

/** Keeps PF5. */
export function bandCompared(
  { window }: Band,
  first: VerificationPicture,
  second: VerificationPicture,
): ComparedPictures {
  return picturesCompared(first, second, window);
}

/** Undefined where the two agree. */
export function bandFault(
  { panels: [first, second], rect }: Band,
  compared: ComparedPictures,
): VerificationFault | undefined {
  if (compared.differingPixels === 0) return undefined;
  const percent = compared.differingShare * 100;
  return verificationFault(
    'band-differs',
    { panels: [first.label, second.label], sideCode: first.sideCode, at: rect },
    `${first.label} and ${second.label} do not carry the same image where they overlap: ${percent < 0.01 ? 'less than 0.01' : percent.toFixed(2)} % of that band differs, by up to ${toneText(compared.largest)} of full tone.`,
  );
}
