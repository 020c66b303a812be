/** The artwork on a panel of a roll, in the direction in which it is printed. */
import type { Panel } from '../../core/layout/panel.ts';
import type { SideArtwork } from '../parts/side-artwork.ts';
import type { DrawnPanel } from './roll-drawing.ts';

export interface ArtworkOfPanel {
  readonly panel: Panel;
  readonly artwork: SideArtwork;
}

interface PanelArtworkProps extends ArtworkOfPanel {
  readonly drawn: DrawnPanel;
}

/**
 * Rolls are drawn sideways: the top edge of a panel is on the left, and of a turned panel on top; see the legend of the
 * roll plan.
 */
export function PanelArtwork({
  panel: { id, film, printed },
  artwork,
  drawn: { box, place },
}: PanelArtworkProps) {
  const pxPerMm = (place.turned ? box.width : box.height) / film.width;
  const placed = place.turned
    ? `translate(${box.x} ${box.y}) scale(${pxPerMm})`
    : `matrix(0 ${-pxPerMm} ${pxPerMm} 0 ${box.x} ${box.y + box.height})`;
  return (
    <g class="roll-artwork" transform={`${placed} translate(${-film.x} ${-film.y})`}>
      <clipPath id={`printed-${id}`}>
        <rect {...printed} />
      </clipPath>
      <image
        href={artwork.address}
        x={artwork.xMm}
        y={artwork.yMm}
        width={artwork.widthMm}
        height={artwork.heightMm}
        preserveAspectRatio="none"
        clip-path={`url(#printed-${id})`}
      />
    </g>
  );
}
