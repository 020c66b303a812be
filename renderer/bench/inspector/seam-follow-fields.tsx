/** A seam that follows a body line: which one, how far beside it, and what its shape costs in film. */
import { sideLines } from '../../../core/job/door.ts';
import { type EditResult, seamFollow, seamMove, seamUnfollow } from '../../../core/job/edits/edits.ts';
import type { Job, Joint } from '../../../core/job/schema.ts';
import type { Seam } from '../../../core/layout/panel.ts';
import { type SideLayout, sideLayout } from '../../../core/layout/side-layout.ts';
import { sideTotals } from '../../../core/layout/side-totals.ts';
import { foundIn } from '../../../core/measure/present.ts';
import { Button } from '../../parts/button.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { fineAreaText } from '../../parts/quantity-text.ts';
import { SelectField } from '../../parts/select-field.tsx';
import { editJob, pageExtents } from '../../state/open-job.ts';

interface SeamFollowProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly seam: Seam;
  readonly joint: Joint;
}

const STRAIGHT = '';
const OWN = 'own shape';

export function SeamFollowFields({ job, layout, seam, joint }: SeamFollowProps) {
  const { side } = layout;
  const of = { sideId: side.id, seamId: seam.id };
  const lines = sideLines(side).filter(
    ({ direction, kind, id }) =>
      direction === seam.direction && (kind !== 'rivet-row' || id === joint.follows),
  );
  if (joint.locked || (lines.length === 0 && !joint.shape)) return null;
  const line = lines.find(({ id }) => id === joint.follows);
  const cost = (edited: EditResult) => filmCost(job, layout, edited);
  const options = [
    {
      value: STRAIGHT,
      label: `No line: straight${joint.shape ? cost(seamUnfollow(job, { ...of, keeps: 'mean' })) : ''}`,
    },
    ...lines.map(({ id, name }) => ({
      value: id,
      label: `${name}${id === joint.follows ? '' : cost(seamFollow(job, { ...of, lineId: id }))}`,
    })),
    ...(joint.shape && !line ? [{ value: OWN, label: 'Its own shape' }] : []),
  ];
  const follow = (value: string) => {
    if (value === OWN) return;
    editJob(value === STRAIGHT ? 'Straighten a seam' : 'Let a seam follow a body line', (now) =>
      value === STRAIGHT
        ? seamUnfollow(now, { ...of, keeps: 'mean' })
        : seamFollow(now, { ...of, lineId: value }),
    );
  };
  return (
    <>
      <SelectField
        label="Follow a body line"
        value={line ? line.id : joint.shape ? OWN : STRAIGHT}
        options={options}
        onChange={follow}
      />
      {line && (
        <>
          <LengthField
            label={seam.direction === 'vertical' ? 'Right of the line' : 'Below the line'}
            mm={joint.atMm - line.atMm}
            unit={job.displayUnit}
            onChange={(offsetMm) =>
              editJob(
                'Move a seam beside its line',
                (now) => seamMove(now, { ...of, atMm: line.atMm + offsetMm }),
                { isQuiet: true },
              )?.message
            }
          />
          <Button
            onClick={() => {
              editJob('Stop following the line', (now) => seamUnfollow(now, { ...of, keeps: 'shape' }));
            }}
          >
            Stop following, keep the shape
          </Button>
        </>
      )}
    </>
  );
}

/** `: 0.12 m² more film`, or why it cannot be done. */
function filmCost(job: Job, layout: SideLayout, edited: EditResult): string {
  if (!edited.ok) return ': not here';
  const side = foundIn(edited.value.sides, ({ id }) => id === layout.side.id);
  const after = sideLayout(edited.value, side, pageExtents.value);
  const more = sideTotals(after).filmAreaMm2 - sideTotals(layout).filmAreaMm2;
  if (Math.abs(more) < 5000) return '';
  return `: ${fineAreaText(Math.abs(more) / 1e6, job.displayUnit)} ${more > 0 ? 'more' : 'less'} film`;
}
