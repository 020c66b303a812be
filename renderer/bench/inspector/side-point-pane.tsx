/** A side with its artwork, on which points are marked. */
import type { Job, Side } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import type { Point } from '../../../core/measure/rect.ts';
import { useSideArtwork } from '../../parts/side-artwork.ts';
import { type Mark, PointPane } from './point-pane.tsx';

interface SidePointPaneProps {
  readonly job: Job;
  readonly side: Side;
  readonly marks: readonly Mark[];
  readonly lines?: readonly (readonly Point[])[];
  onPoint(at: Point): void;
}

export function SidePointPane({ job, side, ...marked }: SidePointPaneProps) {
  const artwork = useSideArtwork(job, side);
  const { width, height } = sideOutline(side, job.scale);
  return (
    <PointPane title={side.name} width={width} height={height} unit={1} {...marked}>
      {artwork && (
        <img
          class="photo-place-side"
          src={artwork.address}
          alt={`Artwork of ${side.name}`}
          style={{
            left: `${(artwork.xMm / width) * 100}%`,
            top: `${(artwork.yMm / height) * 100}%`,
            width: `${(artwork.widthMm / width) * 100}%`,
            height: `${(artwork.heightMm / height) * 100}%`,
          }}
        />
      )}
    </PointPane>
  );
}
