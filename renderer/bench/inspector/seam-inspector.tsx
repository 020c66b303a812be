/** One seam with exact values, or the common values of several. */

import { useEffect } from 'preact/hooks';
import {
  type JointChange,
  jointsChange,
  jointTopsSwap,
  seamMove,
  seamsDistribute,
  seamTrimChange,
} from '../../../core/job/edits/edits.ts';
import { panelPrinter } from '../../../core/job/job-films.ts';
import { jobAllowances, jointTrim, lapAllowances } from '../../../core/job/joint-default.ts';
import { finishedOverlap, trimOff } from '../../../core/job/lap-figures.ts';
import { regionJoints } from '../../../core/job/region.ts';
import type { Job, Joint, JointKind, SeamDirection } from '../../../core/job/schema.ts';
import type { Seam } from '../../../core/layout/panel.ts';
import { panelFit } from '../../../core/layout/panel-fit.ts';
import { seamDatums } from '../../../core/layout/seam-datums.ts';
import type { SideLayout } from '../../../core/layout/side-layout.ts';
import { seamLength } from '../../../core/layout/side-totals.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import { longLengthText } from '../../../core/measure/long-length.ts';
import { firstOf } from '../../../core/measure/present.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { closeSeamLook, isSeamLookOpen, openSeamLook } from '../../state/dialogs.ts';
import { editJob } from '../../state/open-job.ts';
import { removeChosen, stepSeam } from '../keyboard.ts';
import { SeamLookDialog } from '../seam-look-dialog.tsx';
import { sizeText } from '../seam-words.ts';
import { NUDGE_MM } from '../snap-steps.ts';
import { SeamFollowFields } from './seam-follow-fields.tsx';

interface SeamInspectorProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly seams: readonly Seam[];
}

export function SeamInspector({ job, layout, seams }: SeamInspectorProps) {
  // Sections opened for one seam do not open for the next.
  useEffect(() => closeSeamLook, []);
  const [seam] = seams;
  if (!seam) return null;
  const { id: sideId } = layout.side;
  const seamIds = seams.map(({ id }) => id);
  const joints = regionJoints(layout.side.layout).filter(({ id }) => seamIds.includes(id));
  const isOne = seams.length === 1;
  return (
    <>
      {isSeamLookOpen.value && isOne && (
        <SeamLookDialog job={job} layout={layout} seam={seam} onClose={closeSeamLook} />
      )}
      <Section title={isOne ? seamTitle(seam) : `${seams.length} seams`}>
        {isOne && <SeamPlace job={job} layout={layout} seam={seam} joint={firstOf(joints)} />}
        <div class="buttons">
          <Button
            isDisabled={!isOne}
            onClick={() => {
              editJob('Distribute the seams', (now) => seamsDistribute(now, { sideId, seamId: seam.id }));
            }}
            title="Spread all seams of this split evenly; locked ones stay (E)"
          >
            Distribute evenly
          </Button>
          <Button
            isDisabled={!isOne}
            title="The artwork at the seam at true size, with a panel a little off its place (W)"
            onClick={openSeamLook}
          >
            How it will look
          </Button>
          <Button
            isDisabled={!isOne}
            onClick={() => {
              editJob('Distribute the film', (now) =>
                seamsDistribute(now, {
                  sideId,
                  seamId: seam.id,
                  of: 'film',
                  stepMm: NUDGE_MM[job.displayUnit],
                }),
              );
            }}
            title="Film of the parts gets equally wide, bleed and overlaps counted; locked seams stay (Shift+E)"
          >
            Distribute film
          </Button>
          <Button onClick={() => stepSeam('all')} title="Select all seams of the side (Ctrl+A)">
            Select all
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
      {!seam.path && (
        <LengthField
          label={isUpright ? 'From the left of the side' : 'From the top of the side'}
          mm={seam.at}
          unit={unit}
          isDisabled={joint.locked === true}
          onChange={(atMm) =>
            editJob(
              'Move a seam',
              (now) => seamMove(now, { sideId: layout.side.id, seamId: seam.id, atMm }),
              {
                isQuiet: true,
              },
            )?.message
          }
        />
      )}
      <SeamFollowFields job={job} layout={layout} seam={seam} joint={joint} />
      <Facts
        rows={[
          ['Tape', datums.near.text],
          ...(datums.fromLine ? ([['', datums.fromLine.text]] as const) : []),
          ['Length', longLengthText(seamLength(layout, seam), unit)],
        ]}
      />
      <Neighbors job={job} layout={layout} seam={seam} />
    </>
  );
}

/** The panels on both sides, with the roll width that each leaves. */
function Neighbors({ job, layout, seam }: Omit<SeamPlaceProps, 'joint'>) {
  const isUpright = seam.direction === 'vertical';
  const unit = job.displayUnit;
  const rows = (where: string, ids: readonly string[]) =>
    layout.panels
      .filter(({ id }) => ids.includes(id))
      .map((panel) => (
        <tr key={panel.id}>
          <td>
            <strong>{panel.label}</strong> {where}
          </td>
          <td class="number">{sizeText(panel.net, unit)}</td>
          <td class="number">
            {lengthText(panelFit(panel.film, panelPrinter(job, panel)).widthLeftMm, unit)}
          </td>
        </tr>
      ));
  return (
    <table class="table neighbors">
      <thead>
        <tr>
          <th scope="col">Beside it</th>
          <th scope="col" class="number">
            Visible size
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
  { value: 'lap', label: 'Overlap' },
  { value: 'butt', label: 'Butt' },
  { value: 'gap', label: 'Body gap' },
] as const;

const TRIMS = [
  { value: 'tape', label: 'Cutting tape' },
  { value: 'gap', label: 'In a gap' },
  { value: 'edge', label: 'On an edge' },
  { value: 'shop', label: 'In the shop' },
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
        label="Kind of seam"
        value={kind}
        options={KINDS}
        onChange={(next) => void change(KIND_STEPS[next], { kind: next })}
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
            'Printed overlap',
            ({ firstMm, secondMm }) => firstMm + secondMm,
            (overlapMm) => setOverlap(sideId, seamIds, overlapMm),
          )}
          <Facts
            rows={[
              ['Finished overlap', sharedLength(joints.map(finishedOverlap), job.displayUnit)],
              ['Trim-off', sharedLength(joints.map(trimOff), job.displayUnit)],
            ]}
          />
          <Choice
            label="Trim the upper edge"
            value={shared(joints.map((joint) => jointTrim(job, joint)))}
            options={TRIMS}
            onChange={(trim) =>
              editJob('Set the trim', (now) => seamTrimChange(now, { sideId, seamIds, trim }))
            }
          />
        </>
      )}
      {kind !== 'butt' && (
        <div class="pair">
          {length(
            `${firstWord} part extends past the seam by`,
            ({ firstMm }) => firstMm,
            (firstMm) => change('Set how far a part extends', { firstMm }),
          )}
          {length(
            `${secondWord} part extends past the seam by`,
            ({ secondMm }) => secondMm,
            (secondMm) => change('Set how far a part extends', { secondMm }),
          )}
        </div>
      )}
    </Section>
  );
}

const KIND_STEPS: Readonly<Record<JointKind, string>> = {
  lap: 'Make an overlap seam',
  butt: 'Make a butt seam',
  gap: 'Make a body-gap seam',
};

/** One length for all, or a sign that they differ. */
function sharedLength(lengths: readonly Mm[], unit: Job['displayUnit']): string {
  const length = shared(lengths.map((mm) => lengthText(mm, unit)));
  return length ?? 'differs';
}

/** Gives every seam this overlap, divided as in a new overlap seam. */
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
            change: lapAllowances(top, overlapMm, jobAllowances(now)),
          });
        }
      }
      return edited;
    },
    { isQuiet: true },
  )?.message;
}

/** The value common to all; undefined where they differ. */
function shared<T>(values: readonly T[]): T | undefined {
  return values.every((value) => value === values[0]) ? values[0] : undefined;
}

function partWords(direction: SeamDirection | undefined): readonly [string, string] {
  if (direction === 'vertical') return ['Left', 'Right'];
  return direction === 'horizontal' ? ['Upper', 'Lower'] : ['First', 'Second'];
}
