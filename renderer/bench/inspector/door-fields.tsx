/** What a door is and does: its gap, how it moves, its handle, its film, and its panels as a section of their own. */
import { useState } from 'preact/hooks';
import { doorLines } from '../../../core/job/door.ts';
import type { Door, Job, Side } from '../../../core/job/schema.ts';
import { edgeName } from '../../../core/layout/seam-datums.ts';
import { EDGES, type Edge } from '../../../core/measure/rect.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { makeDoorSection } from '../door-section.ts';
import { LinePointsField, LineShapeFields } from './line-shape-fields.tsx';

interface DoorFieldsProps {
  readonly job: Job;
  readonly side: Side;
  readonly door: Door;
  set(change: Partial<Omit<Door, 'id'>>): string | undefined;
}

const NO_HANDLE = '';
/** How far a new door slides: the width of many a van’s sliding door. Common practice, no source. */
const USUAL_SLIDE_MM = 900;

export function DoorFields({ job, side, door, set }: DoorFieldsProps) {
  const { motion, gap } = door;
  const edges = EDGES.map((value) => ({ value, label: `${edgeName(value, side.front)} edge` }));
  return (
    <>
      <Choice
        label="Moves"
        value={motion.kind}
        options={[
          { value: 'hinged', label: 'On hinges' },
          { value: 'slides', label: 'Slides' },
        ]}
        onChange={(kind) =>
          void set({
            motion:
              kind === 'hinged'
                ? { kind, at: side.front === 'none' ? 'left' : side.front }
                : {
                    kind,
                    toward: side.front === 'left' ? 'right' : 'left',
                    byMm: USUAL_SLIDE_MM,
                    passes: 'over',
                  },
          })
        }
      />
      {motion.kind === 'hinged' ? (
        <SelectField
          label="Hinges at the"
          value={motion.at}
          options={edges}
          onChange={(at) => void set({ motion: { ...motion, at } })}
        />
      ) : (
        <>
          <SelectField
            label="Slides toward its"
            value={motion.toward}
            options={edges}
            onChange={(toward) => void set({ motion: { ...motion, toward } })}
          />
          <LengthField
            label="Slides by"
            mm={motion.byMm}
            unit={job.displayUnit}
            onChange={(byMm) => set({ motion: { ...motion, byMm } })}
          />
          <Choice
            label="Passes"
            value={motion.passes}
            options={[
              { value: 'over', label: 'over the body' },
              { value: 'under', label: 'under the body' },
            ]}
            onChange={(passes) => void set({ motion: { ...motion, passes } })}
          />
        </>
      )}
      <SelectField
        label="Handle"
        value={door.handle ?? NO_HANDLE}
        options={[
          { value: NO_HANDLE, label: 'None marked' },
          ...side.noFilmAreas.map(({ id, name }) => ({ value: id, label: name })),
        ]}
        hint="A no-film area of this side; it moves with the door."
        onChange={(handle) =>
          void set({ handle: handle === NO_HANDLE ? undefined : handle } as Partial<Door>)
        }
      />
      <label class="check">
        <input
          type="checkbox"
          checked={door.isEdgeWrapped}
          onChange={(event) => void set({ isEdgeWrapped: event.currentTarget.checked })}
        />
        Film goes around its edges
      </label>
      <div class="pair">
        {(['left', 'right'] as const).map((edge) => (
          <EdgeField key={edge} job={job} gap={gap} edge={edge} set={set} />
        ))}
      </div>
      <div class="pair">
        {(['top', 'bottom'] as const).map((edge) => (
          <EdgeField key={edge} job={job} gap={gap} edge={edge} set={set} />
        ))}
      </div>
      <EdgeShapeFields job={job} side={side} door={door} />
      <Button
        onClick={() => makeDoorSection({ sideId: side.id, doorId: door.id })}
        title="Its own upright panels, with body-gap seams at its gaps"
      >
        Make the door a section, upright
      </Button>
    </>
  );
}

interface EdgeFieldProps extends Pick<DoorFieldsProps, 'job' | 'set'> {
  readonly gap: Door['gap'];
  readonly edge: Edge;
}

const EDGE_LABELS: Readonly<Record<Edge, string>> = {
  left: 'Left edge, from the left',
  right: 'Right edge, from the left',
  top: 'Top edge, from the top',
  bottom: 'Bottom edge, from the top',
};

function EdgeField({ job, gap, edge, set }: EdgeFieldProps) {
  return (
    <LengthField
      label={EDGE_LABELS[edge]}
      mm={gap[edge].atMm}
      unit={job.displayUnit}
      onChange={(atMm) => set({ gap: { ...gap, [edge]: { ...gap[edge], atMm } } })}
    />
  );
}

/** One edge at a time: its points, a bend, and straight again. */
function EdgeShapeFields({ job, side, door }: Pick<DoorFieldsProps, 'job' | 'side' | 'door'>) {
  const [edge, setEdge] = useState<Edge>('top');
  const line = doorLines(door)[EDGES.indexOf(edge)];
  if (!line) return null;
  return (
    <>
      <Choice
        label="Edge to give a shape"
        value={edge}
        options={EDGES.map((value) => ({ value, label: value }))}
        onChange={(value) => setEdge(value)}
      />
      {line.shape && <LinePointsField job={job} side={side} line={line} />}
      <LineShapeFields key={line.id} job={job} side={side} line={line} />
    </>
  );
}
