/** A body line, area, door or guide line, with exact figures. */
import { type ItemList, itemSet, type SideItems, sideItems } from '../../../core/job/edits/edits.ts';
import { rectAlong } from '../../../core/job/region.ts';
import {
  type BodyLine,
  BodyLineKind,
  type Door,
  type Ground,
  type GuideLine,
  type Job,
  type NoFilmArea,
  NoFilmKind,
  SeamDirection,
  type Side,
  type StoredRect,
} from '../../../core/job/schema.ts';
import { sideOutline } from '../../../core/job/side-outline.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { TextField } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob } from '../../state/open-job.ts';
import { removeItem } from '../remove-item.tsx';
import { AreaCornersField } from './area-corners-field.tsx';
import { DoorFields } from './door-fields.tsx';
import { GroundFields } from './ground-fields.tsx';
import { LineRepeatFields } from './line-repeat-fields.tsx';
import { LinePointsField, LineShapeFields } from './line-shape-fields.tsx';
import { WindowFields } from './window-fields.tsx';
import { worded } from './worded.ts';

interface ChosenItem {
  readonly list: ItemList;
  readonly itemId: string;
}

interface ItemInspectorProps {
  readonly job: Job;
  readonly side: Side;
  readonly chosen: ChosenItem;
}

const TITLES: Readonly<Record<ItemList, string>> = {
  bodyLines: 'Body line',
  noSeamAreas: 'No-seam area',
  ground: 'Difficult ground',
  noFilmAreas: 'No-film area',
  doors: 'Door',
  guides: 'Guide line',
};

export function ItemInspector({ job, side, chosen }: ItemInspectorProps) {
  const { list, itemId } = chosen;
  const item = sideItems(side, list).find(({ id }) => id === itemId);
  if (!item) return null;
  const set = <L extends ItemList>(of: L, change: Partial<Omit<SideItems[L], 'id'>>): string | undefined =>
    editJob(
      `Change the ${TITLES[of].toLowerCase()}`,
      (now) => itemSet(now, { sideId: side.id, itemId, list: of, change }),
      { isQuiet: true },
    )?.message;
  return (
    <Section title={TITLES[list]}>
      {'name' in item && (
        <TextField label="Name" value={item.name} onChange={(name) => set(list, { name })} />
      )}
      {list === 'guides' && (
        <>
          <DirectionAndPlace job={job} line={item as GuideLine} set={(change) => set('guides', change)} />
          <p class="quiet">
            Seams and areas snap to it. It is kept with the job and never printed, on no sheet either.
          </p>
        </>
      )}
      {list === 'bodyLines' && (
        <LineFields
          job={job}
          side={side}
          line={item as BodyLine}
          set={(change) => set('bodyLines', change)}
        />
      )}
      {list === 'noFilmAreas' && (
        <>
          <NoFilmAreaFields
            job={job}
            noFilmArea={item as NoFilmArea}
            set={(change) => set('noFilmAreas', change)}
          />
          <WindowFields job={job} sideId={side.id} area={item as NoFilmArea} />
        </>
      )}
      {list === 'ground' && (
        <GroundFields job={job} ground={item as Ground} set={(change) => set('ground', change)} />
      )}
      {list === 'doors' && (
        <DoorFields job={job} side={side} door={item as Door} set={(change) => set('doors', change)} />
      )}
      {'rect' in item && (
        <>
          <RectFields job={job} rect={item.rect} set={(rect) => set(list as 'noSeamAreas', { rect })} />
          <AreaCornersField job={job} side={side} area={item} />
        </>
      )}
      <Button onClick={() => removeItem({ sideId: side.id, itemId })} title="Remove (Delete)">
        Remove
      </Button>
    </Section>
  );
}

interface RectFieldsProps {
  readonly job: Pick<Job, 'displayUnit'>;
  readonly rect: StoredRect;
  set(rect: StoredRect): string | undefined;
}

/** Place and size of a rectangle. */
export function RectFields({ job, rect, set }: RectFieldsProps) {
  const field = (label: string, key: keyof StoredRect) => (
    <LengthField
      label={label}
      mm={rect[key]}
      unit={job.displayUnit}
      onChange={(mm) => set({ ...rect, [key]: mm })}
    />
  );
  return (
    <>
      <div class="pair">
        {field('From the left', 'xMm')}
        {field('From the top', 'yMm')}
      </div>
      <div class="pair">
        {field('Width', 'widthMm')}
        {field('Height', 'heightMm')}
      </div>
    </>
  );
}

interface LineFieldsProps {
  readonly job: Job;
  readonly side: Side;
  readonly line: BodyLine;
  set(change: Partial<Omit<BodyLine, 'id'>>): string | undefined;
}

function LineFields({ job, side, line, set }: LineFieldsProps) {
  const isUpright = line.direction === 'vertical';
  const whole = rectAlong(sideOutline(side, job.scale), line.direction);
  const { extent } = line;
  return (
    <>
      <SelectField
        label="Kind"
        value={line.kind}
        options={worded(BodyLineKind.options)}
        onChange={(kind) => void set({ kind })}
      />
      {line.shape ? (
        <LinePointsField job={job} side={side} line={line} />
      ) : (
        <>
          <DirectionAndPlace job={job} line={line} set={set} />
          <label class="check">
            <input
              type="checkbox"
              checked={extent === undefined}
              onChange={(event) => {
                const isWhole = event.currentTarget.checked;
                void set({
                  extent: isWhole ? undefined : { fromMm: whole.start, toMm: whole.end },
                } as Partial<BodyLine>);
              }}
            />
            Over the whole side
          </label>
          {extent && (
            <div class="pair">
              <LengthField
                label={isUpright ? 'Begins, from the top' : 'Begins, from the left'}
                mm={extent.fromMm}
                unit={job.displayUnit}
                onChange={(fromMm) => set({ extent: { ...extent, fromMm } })}
              />
              <LengthField
                label="Ends"
                mm={extent.toMm}
                unit={job.displayUnit}
                onChange={(toMm) => set({ extent: { ...extent, toMm } })}
              />
            </div>
          )}
        </>
      )}
      <LineShapeFields key={`shape ${line.id}`} job={job} side={side} line={line} />
      <LineRepeatFields key={line.id} job={job} side={side} line={line} />
    </>
  );
}

interface DirectionAndPlaceProps {
  readonly job: Pick<Job, 'displayUnit'>;
  readonly line: Omit<GuideLine, 'id'>;
  set(change: Partial<Omit<GuideLine, 'id'>>): string | undefined;
}

function DirectionAndPlace({ job, line, set }: DirectionAndPlaceProps) {
  return (
    <>
      <Choice
        label="Direction"
        value={line.direction}
        options={worded(SeamDirection.options)}
        onChange={(direction) => void set({ direction })}
      />
      <LengthField
        label={line.direction === 'vertical' ? 'From the left of the side' : 'From the top of the side'}
        mm={line.atMm}
        unit={job.displayUnit}
        onChange={(atMm) => set({ atMm })}
      />
    </>
  );
}

interface NoFilmAreaFieldsProps {
  readonly job: Job;
  readonly noFilmArea: NoFilmArea;
  set(change: Partial<Omit<NoFilmArea, 'id'>>): string | undefined;
}

function NoFilmAreaFields({ job, noFilmArea, set }: NoFilmAreaFieldsProps) {
  return (
    <>
      <SelectField
        label="Kind"
        value={noFilmArea.kind}
        options={worded(NoFilmKind.options)}
        onChange={(kind) => void set({ kind })}
      />
      <LengthField
        label="Space from seams"
        mm={noFilmArea.clearanceMm}
        unit={job.displayUnit}
        onChange={(clearanceMm) => set({ clearanceMm })}
      />
    </>
  );
}
