/** One seam exactly, or what several have in common. */
import {
  type JointChange,
  jointsChange,
  jointTopsSwap,
  seamMove,
  seamsDistribute,
} from '../../../core/job/edits/edits.ts';
import { lapAllowances } from '../../../core/job/joint-default.ts';
import { regionJoints } from '../../../core/job/region.ts';
import type { Job, Joint, SeamDirection } from '../../../core/job/schema.ts';
import type { Seam } from '../../../core/layout/panel.ts';
import { panelFit } from '../../../core/layout/panel-fit.ts';
import { seamDatums } from '../../../core/layout/seam-datums.ts';
import type { SideLayout } from '../../../core/layout/side-layout.ts';
import { seamLength } from '../../../core/layout/side-totals.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import { longLengthText } from '../../../core/measure/long-length.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { editJob } from '../../state/open-job.ts';
import { removeChosen, stepSeam } from '../keyboard.ts';
import { sizeText } from '../seam-words.ts';

interface SeamInspectorProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly seams: readonly Seam[];
}

export function SeamInspector({ job, layout, seams }: SeamInspectorProps) {
  const [seam] = seams;
  if (!seam) return null;
  const { id: sideId } = layout.side;
  const seamIds = seams.map(({ id }) => id);
  const joints = regionJoints(layout.side.layout).filter(({ id }) => seamIds.includes(id));
  const isOne = seams.length === 1;
  return (
    <>
      <Section title={isOne ? seamTitle(seam) : `${seams.length} seams`}>
        {isOne && <SeamPlace job={job} layout={layout} seam={seam} joint={joints[0]!} />}
        <div class="buttons">
          <Button
            isDisabled={!isOne}
            onClick={() => {
              editJob('Distribute the seams', (now) => seamsDistribute(now, { sideId, seamId: seam.id }));
            }}
            title="Spread all seams of this run evenly; locked ones stay (E)"
          >
            Distribute evenly
          </Button>
          <Button onClick={() => stepSeam('all')} title="Choose all seams of the side (Ctrl+A)">
            Choose all
          </Button>
        </div>
      </Section>
      <JointSection job={job} layout={layout} seams={seams} joints={joints} />
      <Section title="More">
        <label class="check">
          <input
            type="checkbox"
            checked={joints.every(({ locked }) => locked)}
            onChange={(event) => {
              const locked = event.currentTarget.checked;
              editJob(locked ? 'Lock seams' : 'Unlock seams', (now) =>
                jointsChange(now, { sideId, seamIds, change: { locked } }),
              );
            }}
          />
          Locked where it is
        </label>
        <Button onClick={removeChosen} title="Remove (Delete)">
          {isOne ? 'Remove this seam' : 'Remove these seams'}
        </Button>
      </Section>
    </>
  );
}

const seamTitle = ({ direction }: Seam): string =>
  direction === 'vertical' ? 'Vertical seam' : 'Horizontal seam';

interface SeamPlaceProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly seam: Seam;
  readonly joint: Joint;
}

function SeamPlace({ job, layout, seam, joint }: SeamPlaceProps) {
  const unit = job.displayUnit;
  const datums = seamDatums(layout, seam, unit);
  const isUpright = seam.direction === 'vertical';
  return (
    <>
      <LengthField
        label={isUpright ? 'From the left of the side' : 'From the top of the side'}
        mm={seam.at}
        unit={unit}
        isDisabled={joint.locked === true}
        onChange={(atMm) =>
          editJob('Move a seam', (now) => seamMove(now, { sideId: layout.side.id, seamId: seam.id, atMm }), {
            isQuiet: true,
          })?.message
        }
      />
      <Facts
        rows={[
          ['Tape', datums.fromEdge.text],
          ...(datums.fromLine ? ([['', datums.fromLine.text]] as const) : []),
          ['To lay', longLengthText(seamLength(layout, seam), unit)],
        ]}
      />
      <Neighbors job={job} layout={layout} seam={seam} />
    </>
  );
}

/** The panels on both sides, with what each leaves of the roll. */
function Neighbors({ job, layout, seam }: Omit<SeamPlaceProps, 'joint'>) {
  const isUpright = seam.direction === 'vertical';
  const unit = job.displayUnit;
  const rows = (where: string, ids: readonly string[]) =>
    layout.panels
      .filter(({ id }) => ids.includes(id))
      .map((panel) => (
        <tr key={panel.id}>
          <td>{where}</td>
          <td>
            <strong>{panel.label}</strong>
          </td>
          <td class="number">{sizeText(panel.net, unit)}</td>
          <td class="number">{lengthText(panelFit(panel.film, job.printer).widthLeftMm, unit)}</td>
        </tr>
      ));
  return (
    <table class="table neighbors">
      <thead>
        <tr>
          <th scope="col" colSpan={2}>
            Beside it
          </th>
          <th scope="col" class="number">
            Finished
          </th>
          <th scope="col" class="number">
            Width left
          </th>
        </tr>
      </thead>
      <tbody>
        {rows(isUpright ? 'left' : 'above', seam.firstPanelIds)}
        {rows(isUpright ? 'right' : 'below', seam.secondPanelIds)}
      </tbody>
    </table>
  );
}

const KINDS = [
  { value: 'lap', label: 'Lap' },
  { value: 'butt', label: 'Butt' },
  { value: 'gap', label: 'Break' },
] as const;

function JointSection({
  job,
  layout,
  seams,
  joints,
}: SeamInspectorProps & { readonly joints: readonly Joint[] }) {
  const { id: sideId } = layout.side;
  const seamIds = seams.map(({ id }) => id);
  const change = (label: string, what: JointChange) =>
    editJob(label, (now) => jointsChange(now, { sideId, seamIds, change: what }), { isQuiet: true })?.message;
  const kind = shared(joints.map((joint) => joint.kind));
  const direction = shared(seams.map((seam) => seam.direction));
  const [firstWord, secondWord] = partWords(direction);
  const length = (label: string, of: (joint: Joint) => number, set: (mm: number) => string | undefined) => (
    <LengthField
      label={label}
      mm={shared(joints.map(of)) ?? undefined}
      unit={job.displayUnit}
      onChange={set}
      {...(shared(joints.map(of)) === undefined && { hint: 'These seams differ.' })}
    />
  );
  return (
    <Section title="How the parts meet">
      <Choice
        label="Joint"
        value={kind}
        options={KINDS}
        onChange={(next) => void change(`Make a ${next}`, { kind: next })}
      />
      {kind !== 'butt' && kind !== 'gap' && (
        <>
          <Choice
            label="On top"
            value={shared(joints.map((joint) => joint.top))}
            options={[
              { value: 'first', label: `${firstWord} part` },
              { value: 'second', label: `${secondWord} part` },
            ]}
            onChange={() => {
              editJob('Swap the top part', (now) => jointTopsSwap(now, { sideId, seamIds }));
            }}
          />
          {length(
            'Overlap',
            ({ firstMm, secondMm }) => firstMm + secondMm,
            (overlapMm) => setOverlap(sideId, seamIds, overlapMm),
          )}
        </>
      )}
      {kind !== 'butt' && (
        <div class="pair">
          {length(
            `${firstWord} part runs on by`,
            ({ firstMm }) => firstMm,
            (firstMm) => change('Set the allowance', { firstMm }),
          )}
          {length(
            `${secondWord} part runs on by`,
            ({ secondMm }) => secondMm,
            (secondMm) => change('Set the allowance', { secondMm }),
          )}
        </div>
      )}
    </Section>
  );
}

/** Gives every seam this overlap, shared out as a new lap would be. */
function setOverlap(sideId: string, seamIds: readonly string[], overlapMm: number): string | undefined {
  if (overlapMm < 0) return 'An overlap cannot be less than 0.';
  return editJob(
    'Set the overlap',
    (now) => {
      const side = now.sides.find(({ id }) => id === sideId);
      const joints = side ? regionJoints(side.layout).filter(({ id }) => seamIds.includes(id)) : [];
      let edited: ReturnType<typeof jointsChange> = { ok: true, value: now };
      for (const top of ['first', 'second'] as const) {
        const ids = joints.filter((joint) => joint.top === top).map(({ id }) => id);
        if (edited.ok && ids.length > 0) {
          edited = jointsChange(edited.value, {
            sideId,
            seamIds: ids,
            change: lapAllowances(top, overlapMm),
          });
        }
      }
      return edited;
    },
    { isQuiet: true },
  )?.message;
}

/** What all have in common; undefined where they differ. */
function shared<T>(values: readonly T[]): T | undefined {
  return values.every((value) => value === values[0]) ? values[0] : undefined;
}

function partWords(direction: SeamDirection | undefined): readonly [string, string] {
  if (direction === 'vertical') return ['Left', 'Right'];
  return direction === 'horizontal' ? ['Upper', 'Lower'] : ['First', 'Second'];
}
