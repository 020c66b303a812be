/** Selects the page and layer of a template, and lines it up with the side. */
import { useEffect, useState } from 'preact/hooks';
import type { ArtworkOutlines } from '../../../core/contract/verbs-artwork.ts';
import { MOST_OUTLINES } from '../../../core/contract/verbs-artwork.ts';
import type { Job, Side, SideTemplate } from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { templatePlace, templatePointsFromBox } from '../../../core/job/template-place.ts';
import { decimalText } from '../../../core/measure/length-text.ts';
import { pointsHull } from '../../../core/measure/outline.ts';
import type { Rect } from '../../../core/measure/rect.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { WorkProgress } from '../../parts/work-progress.tsx';
import { sizeText } from '../seam-words.ts';
import {
  outlinesRead,
  pointsOfOutline,
  readOutlines,
  templateLocked,
  templateSource,
  templateWork,
} from '../trace.ts';
import { draftFromPoints, type PhotoDraft, pointPlaced } from './photo-draft.ts';
import { PhotoPoints } from './photo-points.tsx';
import { type Mark, PointPane } from './point-pane.tsx';
import { SidePointPane } from './side-point-pane.tsx';

interface TemplateDialogProps {
  readonly job: Job;
  readonly side: Side;
  readonly template: SideTemplate;
  onKeep(template: SideTemplate): void;
  onClose(): void;
}

type LinedUp = 'artwork' | 'box' | 'points';

const ALL = '';

export function TemplateDialog({ job, side, template, onKeep, onClose }: TemplateDialogProps) {
  const [draft, setDraft] = useState(template);
  const isOfSide = draft.file === undefined && draft.page === side.page;
  const [linedUp, setLinedUp] = useState<LinedUp>(template.points ? 'points' : isOfSide ? 'artwork' : 'box');
  const [points, setPoints] = useState(() => pointsDraft(template));
  const source = templateSource(job, { template: draft });
  const read = outlinesRead(source);
  useEffect(() => {
    if (!source) return;
    // One dialog at a time: the password comes first.
    void readOutlines(source).then(() => {
      if (templateLocked.peek()) onClose();
    });
  }, [draft.file, draft.page, draft.layer]);
  const box = read && boxOfOutlines(read);
  const outline = sideOutline(side, job.scale);
  const { points: _, ...unplaced } = draft;
  const placed = placedTemplate(unplaced, linedUp, points, box && templatePointsFromBox(box, outline));
  const progress = templateWork.progress.value;
  return (
    <Dialog title={`Template to trace on ${side.name}`} isLarge onClose={onClose}>
      <div class="photo-place-head">
        {read && read.pages > 1 && (
          <SelectField
            label="Page"
            value={String(draft.page)}
            options={Array.from({ length: read.pages }, (_, index) => ({
              value: String(index + 1),
              label: `Page ${index + 1}`,
            }))}
            onChange={(page) => {
              const { layer: __, ...rest } = draft;
              setDraft({ ...rest, page: Number(page) });
              if (linedUp === 'artwork') setLinedUp('box');
            }}
          />
        )}
        {read && read.layers.length > 0 && (
          <SelectField
            label="Layer"
            value={draft.layer ?? ALL}
            options={[
              { value: ALL, label: 'All that shows' },
              ...read.layers.map(({ name, isOn, outlines }) => ({
                value: name,
                label: `${name}: ${outlines} ${outlines === 1 ? 'path' : 'paths'}${isOn ? '' : ', off'}`,
              })),
            ]}
            onChange={(layer) => {
              const { layer: __, ...rest } = draft;
              setDraft(layer === ALL ? rest : { ...rest, layer });
            }}
          />
        )}
        <Choice<LinedUp>
          label="Line it up"
          value={linedUp}
          options={[
            ...(isOfSide ? [{ value: 'artwork' as const, label: 'As the artwork lies' }] : []),
            { value: 'box', label: 'By its box' },
            { value: 'points', label: 'By two points' },
          ]}
          onChange={setLinedUp}
        />
      </div>
      {progress && <WorkProgress progress={progress} onCancel={templateWork.cancel} />}
      {box && read && (
        <LineUp
          job={job}
          side={side}
          read={read}
          box={box}
          isByPoints={linedUp === 'points'}
          points={points}
          onPoints={setPoints}
        />
      )}
      <div class="dialog-actions">
        <p role="status">{statusText(job, side, { read, box, placed })}</p>
        <Button onClick={onClose}>Cancel</Button>
        <Button isPrimary isDisabled={!placed || !box} onClick={() => placed && onKeep(placed)}>
          Keep the template
        </Button>
      </div>
    </Dialog>
  );
}

const pointsDraft = ({ points = [] }: SideTemplate): PhotoDraft =>
  draftFromPoints(
    points.map(({ drawnXMm, drawnYMm, xMm, yMm }) => ({ xPx: drawnXMm, yPx: drawnYMm, xMm, yMm })),
    true,
  );

/** Undefined until both points are complete. */
function placedTemplate(
  template: Omit<SideTemplate, 'points'>,
  linedUp: LinedUp,
  { points }: PhotoDraft,
  byBox: SideTemplate['points'],
): SideTemplate | undefined {
  if (linedUp === 'artwork') return template;
  if (linedUp === 'box') return byBox && { ...template, points: byBox };
  const whole = points.flatMap(({ photo, side }) =>
    photo && side ? [{ drawnXMm: photo.xPx, drawnYMm: photo.yPx, xMm: side.x, yMm: side.y }] : [],
  );
  return whole.length === 2 ? { ...template, points: whole } : undefined;
}

/** Bounds of all paths; undefined where there are none. */
function boxOfOutlines({ outlines }: ArtworkOutlines): Rect<'drawn'> | undefined {
  if (outlines.length === 0) return undefined;
  const corners = outlines.flatMap((outline) => {
    const { x, y, width, height } = pointsHull(pointsOfOutline(outline));
    return [
      { x, y },
      { x: x + width, y: y + height },
    ];
  });
  const { x, y, width, height } = pointsHull(corners);
  return { x, y, width, height };
}

interface Standing {
  readonly read: ArtworkOutlines | undefined;
  readonly box: Rect<'drawn'> | undefined;
  readonly placed: SideTemplate | undefined;
}

function statusText(job: Job, side: Side, { read, box, placed }: Standing): string {
  if (!read) return 'Reading the template…';
  if (read.count > MOST_OUTLINES)
    return `There are ${read.count} paths here, more than the ${MOST_OUTLINES} that can be traced from. Select the layer of the outlines.`;
  if (!box) return 'There is no path here to trace. Select another layer or page.';
  if (!placed) return 'Mark two points on the template, and the same two on the side.';
  const place = templatePlace(placed, side, job.scale);
  if (!place) return 'The two points are one: mark two that lie far apart.';
  const [from, to] = [place({ x: 0, y: 0 }), place({ x: 1000, y: 0 })];
  const factor = Math.hypot(to.x - from.x, to.y - from.y) / 1000;
  const turn = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  const { width, height } = box;
  const size = sizeText({ width: width * factor, height: height * factor }, job.displayUnit);
  const turned = Math.abs(turn) < 0.05 ? '' : `, turned by ${decimalText(turn, 1)}°`;
  return `The template is enlarged ${decimalText(factor, 3)} times${turned}: ${size}, on a side of ${sizeText(sideOutline(side, job.scale), job.displayUnit)}.`;
}

interface LineUpProps {
  readonly job: Job;
  readonly side: Side;
  readonly read: ArtworkOutlines;
  readonly box: Rect<'drawn'>;
  readonly isByPoints: boolean;
  readonly points: PhotoDraft;
  onPoints(points: PhotoDraft): void;
}

/** How far an arrow key moves a point, as a share of the template's length. */
const STEP_SHARE = 1 / 2000;

function LineUp({ job, side, read, box, isByPoints, points, onPoints }: LineUpProps) {
  const shape = read.outlines
    .map((outline) => {
      const places = pointsOfOutline(outline).map(({ x, y }) => `${x - box.x} ${y - box.y}`);
      return `M${places.join('L')}${outline.isClosed ? 'Z' : ''}`;
    })
    .join('');
  const marks = (of: 'template' | 'side'): Mark[] =>
    points.points.flatMap(({ photo, side: on }, index) => {
      const at = of === 'side' ? on : photo && { x: photo.xPx - box.x, y: photo.yPx - box.y };
      return isByPoints && at
        ? [{ name: String(index + 1), at, isInHand: index === points.inHand, isDoubted: false }]
        : [];
    });
  const place = (half: Parameters<typeof pointPlaced>[1]) => {
    if (isByPoints && points.inHand < 2) onPoints(pointPlaced(points, half));
  };
  return (
    <div class="photo-place">
      <PointPane
        title="Template"
        width={Math.max(box.width, box.height / 20)}
        height={Math.max(box.height, box.width / 20)}
        unit={Math.hypot(box.width, box.height) * STEP_SHARE}
        marks={marks('template')}
        onPoint={({ x, y }) => place({ photo: { xPx: x + box.x, yPx: y + box.y } })}
      >
        <svg
          class="template-paths"
          role="img"
          aria-label={`${read.outlines.length} paths of the template`}
          viewBox={`0 0 ${Math.max(box.width, box.height / 20)} ${Math.max(box.height, box.width / 20)}`}
        >
          <path d={shape} />
        </svg>
      </PointPane>
      <SidePointPane
        job={job}
        side={side}
        marks={marks('side')}
        onPoint={({ x, y }) => place({ side: { x, y } })}
      />
      <div class="photo-place-figures">
        {isByPoints ? (
          <PhotoPoints
            picture="template"
            draft={points}
            residuals={[]}
            isDoubted={() => false}
            unit={job.displayUnit}
            onChange={onPoints}
          />
        ) : (
          <p>
            The template is traced where it lies on the side. Where its box is not that of the side, line it
            up by two points.
          </p>
        )}
      </div>
    </div>
  );
}
