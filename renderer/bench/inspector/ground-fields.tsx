/** Kind and depth of a recess or a curve, and what its depth means for the film. */
import { areaLength } from '../../../core/job/area-shape.ts';
import type { Ground, Job } from '../../../core/job/schema.ts';
import { groundMeasures } from '../../../core/layout/ground-stretch.ts';
import { lengthText, typedLengthText } from '../../../core/measure/length-text.ts';
import {
  type DepthShape,
  depthProblem,
  developedLength,
  type GroundDepth,
  type ProfilePoint,
  stretchPercent,
  stretchText,
} from '../../../core/vehicle/ground-depth.ts';
import { profileFromText } from '../../../core/vehicle/profile-from-text.ts';
import { Choice } from '../../parts/choice.tsx';
import { Field } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { useTyped } from '../../parts/typed-text.ts';

interface GroundFieldsProps {
  readonly job: Pick<Job, 'displayUnit'>;
  readonly ground: Ground;
  set(change: Partial<Omit<Ground, 'id'>>): string | undefined;
}

type ShapeKind = DepthShape['kind'] | 'unknown';

const SHAPES: readonly { readonly value: ShapeKind; readonly label: string }[] = [
  { value: 'unknown', label: 'Not measured' },
  { value: 'flat-bottom', label: 'Flat bottom, two flanks' },
  { value: 'arc', label: 'Arc' },
  { value: 'profile', label: 'Measured profile' },
];

export function GroundFields({ job, ground, set }: GroundFieldsProps) {
  const { depth } = ground;
  return (
    <>
      <Choice
        label="Kind"
        value={ground.kind}
        options={[
          { value: 'recess', label: 'Recess' },
          { value: 'curve', label: 'Compound curve' },
        ]}
        onChange={(kind) => void set({ kind })}
      />
      <SelectField
        label="Depth"
        value={depth?.shape.kind ?? 'unknown'}
        options={SHAPES}
        onChange={(kind) => void set({ depth: depthOfKind(ground, kind) } as Partial<Ground>)}
      />
      {depth && (
        <DepthFields job={job} ground={ground} depth={depth} set={(changed) => set({ depth: changed })} />
      )}
    </>
  );
}

/** Initial figures of a shape that fit any area; figures of another shape are kept where possible. */
function depthOfKind(ground: Ground, kind: ShapeKind): GroundDepth | undefined {
  if (kind === 'unknown') return undefined;
  const { rect, depth } = ground;
  const along = kind === 'profile' && depth?.along !== 'height' ? 'width' : (depth?.along ?? 'width');
  const length = along === 'height' ? rect.heightMm : rect.widthMm;
  const before = depth && 'depthMm' in depth.shape ? depth.shape.depthMm : length / 10;
  const depthMm = Math.min(before, length / 2);
  if (kind === 'flat-bottom') return { along, shape: { kind, depthMm, flankMm: length / 10 } };
  if (kind === 'arc') return { along, shape: { kind, depthMm } };
  const points = [0, 0.5, 1].map((share) => ({
    atMm: share * length,
    depthMm: share === 0.5 ? depthMm : 0,
  }));
  return { along, shape: { kind, points } };
}

interface DepthFieldsProps extends Pick<GroundFieldsProps, 'job' | 'ground'> {
  readonly depth: GroundDepth;
  set(depth: GroundDepth): string | undefined;
}

function DepthFields({ job, ground, depth, set }: DepthFieldsProps) {
  const { shape, along } = depth;
  const unit = job.displayUnit;
  const ways = [
    { value: 'width', label: 'Width' },
    { value: 'height', label: 'Height' },
    ...(shape.kind === 'profile' ? [] : [{ value: 'both', label: 'Both' } as const]),
  ] as const;
  const setShape = (changed: DepthShape) => set({ ...depth, shape: changed });
  return (
    <>
      <Choice
        label="Goes in and out along its"
        value={along}
        options={ways}
        onChange={(way) => void set({ ...depth, along: way })}
      />
      {shape.kind === 'profile' ? (
        <ProfileField
          unit={unit}
          points={shape.points}
          edge={along === 'height' ? 'upper' : 'left'}
          set={(points) => setShape({ ...shape, points })}
        />
      ) : (
        <div class="pair">
          <LengthField
            label="Depth"
            mm={shape.depthMm}
            unit={unit}
            onChange={(depthMm) => setShape({ ...shape, depthMm })}
          />
          {shape.kind === 'flat-bottom' && (
            <LengthField
              label="Width of each flank"
              mm={shape.flankMm}
              unit={unit}
              onChange={(flankMm) => setShape({ ...shape, flankMm })}
            />
          )}
        </div>
      )}
      {groundMeasures(ground).map((measure) => (
        <p class="quiet" key={measure}>
          {surfaceText(shape, areaLength(ground, measure), measure, unit)}
        </p>
      ))}
    </>
  );
}

function surfaceText(
  shape: DepthShape,
  drawnMm: number,
  measure: 'width' | 'height',
  unit: Job['displayUnit'],
): string {
  const shown = (mm: number) => lengthText(mm, unit);
  const problem = depthProblem(shape, drawnMm, shown);
  if (problem) return problem;
  const developedMm = developedLength(shape, drawnMm);
  const percent = stretchText(stretchPercent(developedMm, drawnMm));
  return `Surface along its ${measure}: ${shown(developedMm)} where the drawing has ${shown(drawnMm)}, ${percent} % longer.`;
}

interface ProfileFieldProps {
  readonly unit: Job['displayUnit'];
  readonly points: readonly ProfilePoint[];
  readonly edge: 'left' | 'upper';
  set(points: ProfilePoint[]): string | undefined;
}

/** A table of distances and depths, one row a line, as typed or pasted from a sheet. */
function ProfileField({ unit, points, edge, set }: ProfileFieldProps) {
  const shown = points
    .map(({ atMm, depthMm }) => `${typedLengthText(atMm, unit)}; ${typedLengthText(depthMm, unit)}`)
    .join('\n');
  const { problem, handlers } = useTyped(shown, (text) => {
    const read = profileFromText(text, unit);
    return read.ok ? set(read.value) : read.problem.message;
  });
  return (
    <Field
      label="Profile"
      problem={problem}
      hint={`One row a line: distance from the ${edge} edge of the area, then depth, separated by a semicolon or a tab.`}
    >
      {(ids) => <textarea class="input" rows={6} {...handlers} {...ids} />}
    </Field>
  );
}
