/** How far off a photo shows what does not lie in the plane of the side, as an estimate. */
import type { Job, Side } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { rectFromStored } from '../../../core/job/stored-rect.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import { viewingDistanceText } from '../../../core/measure/long-length.ts';
import { type Rect, rectBottom, rectRight } from '../../../core/measure/rect.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { cameraPlace, proudShift } from '../../../core/vehicle/camera-place.ts';
import { depthDeepest } from '../../../core/vehicle/ground-depth.ts';
import type { PhotoPlace } from '../../../core/vehicle/photo-place.ts';
import { LengthField } from '../../parts/length-field.tsx';

/** The general figure is for parts that stand out as far as a handle or a lamp. */
const PROUD_MM = { mm: 25, in: 25.4 } as const;

interface ProudFieldsProps {
  readonly job: Job;
  readonly side: Side;
  readonly place: PhotoPlace;
  readonly cameraMm: Mm | undefined;
  onSet(mm: Mm | undefined): void;
}

export function ProudFields({ job, side, place, cameraMm, onSet }: ProudFieldsProps) {
  const unit = job.displayUnit;
  const camera = cameraPlace(place, cameraMm);
  const text = (mm: Mm) => lengthText(mm, unit);
  /** At its corner that is farthest from the camera, as fine as an estimate is. */
  const shift = (rect: Rect, proudMm: Mm) => {
    const corners = [rect.x, rectRight(rect)].flatMap((x) =>
      [rect.y, rectBottom(rect)].map((y) => ({ x, y })),
    );
    return Math.ceil(Math.max(...corners.map((corner) => proudShift(camera, corner, proudMm))));
  };
  const recesses = side.ground.flatMap(({ id, name, rect, kind, depth }) => {
    const deep = depth && depthDeepest(depth.shape);
    return deep ? [{ id, name, kind, off: shift(rectFromStored(rect), deep) }] : [];
  });
  const proud = PROUD_MM[unit];
  return (
    <>
      <LengthField
        label="Distance of the camera from the side"
        mm={cameraMm}
        unit={unit}
        hint={
          cameraMm === undefined
            ? `About ${viewingDistanceText(Math.round(camera.distanceMm / 100) * 100, unit)}, estimated from a lens as phones have it.`
            : 'As typed; emptied, it is estimated.'
        }
        onChange={(mm) => {
          if (!(mm > 0)) return 'Type a length of more than 0.';
          onSet(mm);
          return undefined;
        }}
        onEmpty={() => onSet(undefined)}
      />
      <p class="quiet">
        From there, what stands {text(proud)} proud, as a handle or a mirror may, is seen up to about{' '}
        {text(shift(sideOutline(side, job.scale), proud))} too far from the point before the camera (an
        estimate).
      </p>
      {recesses.map(({ id, name, kind, off }) => (
        <p key={id} class="quiet">
          {kind === 'recess'
            ? `The bottom of “${name}” is seen up to about ${text(off)} too near to that point (an estimate).`
            : `“${name}” is seen up to about ${text(off)} off (an estimate).`}
        </p>
      ))}
    </>
  );
}
