import { isStrictlyWithin } from '../../measure/interval.ts';
import { lengthText } from '../../measure/length-text.ts';
import { resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { isSeamAtGap } from '../door.ts';
import { jobAllowances, jointDefault } from '../joint-default.ts';
import { rectAcross, rectAlong, regionsPlaced } from '../region.ts';
import type { Job, Joint, PanelRegion, Region, SeamDirection } from '../schema.ts';
import { type EditResult, editProblem, panelUnknown, sideEdited } from './edit.ts';

export interface PanelSplit {
  readonly sideId: string;
  readonly panelId: string;
  /** Direction of the new seam. */
  readonly seams: SeamDirection;
  readonly atMm: Mm;
  /** Properties of the joint that differ from the usual lap. */
  readonly joint?: Partial<Omit<Joint, 'id' | 'atMm'>>;
  readonly newPanelId?: string;
  readonly newSeamId?: string;
}

/**
 * Divides a panel at a new seam: a body-gap seam on a gap of the body or a door, else an overlap. The part before the
 * seam keeps the id of the panel, and both keep its film. In a split of the same direction, the seam is added to that
 * split; otherwise a split of two parts replaces the panel. Keeps ED1.
 */
export function panelSplit(job: Job, split: PanelSplit): EditResult {
  return sideEdited(job, split.sideId, ({ side, outline, fresh }) => {
    const placed = regionsPlaced(side.layout, outline).find(
      ({ region }) => region.kind === 'panel' && region.id === split.panelId,
    );
    if (!placed) return panelUnknown(side, split.panelId);
    const across = rectAcross(placed.rect, split.seams);
    if (!isStrictlyWithin(split.atMm, across)) {
      const shown = (mm: number) => lengthText(mm, job.displayUnit);
      return editProblem(
        'seam-outside-region',
        `A ${split.seams} seam ${Number.isFinite(split.atMm) ? `at ${shown(split.atMm)}` : 'without a place'} would not cut the panel, which reaches from ${shown(across.start)} to ${shown(across.end)}.`,
        'Select a place between these two.',
      );
    }
    const isAtGap = isSeamAtGap(side, {
      direction: split.seams,
      joint: { atMm: split.atMm },
      span: rectAlong(placed.rect, split.seams),
    });
    const seamId = split.newSeamId ?? fresh('j');
    const joint = jointDefault(
      { id: seamId, atMm: split.atMm },
      split.seams,
      side.front,
      { ...(isAtGap && { kind: 'gap' }), ...split.joint },
      jobAllowances(job),
    );
    const panel: Region = { ...(placed.region as PanelRegion), id: split.newPanelId ?? fresh('p') };
    return resultOk({ ...side, layout: regionSplit(side.layout, split, joint, panel) });
  });
}

function regionSplit(region: Region, split: PanelSplit, joint: Joint, panel: Region): Region {
  const isSplit = (candidate: Region) => candidate.kind === 'panel' && candidate.id === split.panelId;
  if (region.kind === 'panel') {
    if (!isSplit(region)) return region;
    return { kind: 'split', seams: split.seams, joints: [joint], parts: [region, panel] };
  }
  const index = region.parts.findIndex(isSplit);
  if (index === -1 || region.seams !== split.seams) {
    return { ...region, parts: region.parts.map((part) => regionSplit(part, split, joint, panel)) };
  }
  return {
    ...region,
    joints: region.joints.toSpliced(index, 0, joint),
    parts: region.parts.toSpliced(index + 1, 0, panel),
  };
}
