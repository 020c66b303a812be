import type { Job, Side } from '../../job/schema.ts';
import type { Panel } from '../../layout/panel.ts';
import { type LineOnSide, seamAtText } from '../../layout/seam-line-place.ts';
import type { PageExtents, SideLayout } from '../../layout/side-layout.ts';
import { decimalText, lengthText } from '../../measure/length-text.ts';
import { listText } from '../../measure/list-text.ts';
import type { Edge } from '../../measure/rect.ts';
import { MM_PER_FOOT, type Mm } from '../../measure/units.ts';

/** Facts about the artwork file that the job document does not hold. */
export interface FindingFacts {
  /** The extent of the artwork on each page, in drawn mm, as read from the file. */
  readonly pages?: PageExtents;
  /** SHA-256 of the present artwork file. */
  readonly artworkSha256?: string;
}

/** Input and texts of the checks of one side. */
export interface SideContext {
  readonly job: Job;
  readonly side: Side;
  readonly layout: SideLayout;
  readonly panels: ReadonlyMap<string, Panel>;
  readonly facts: FindingFacts;
  /** A length in the job's display unit. */
  readonly length: (mm: Mm) => string;
}

export function sideContext(job: Job, layout: SideLayout, facts: FindingFacts): SideContext {
  return {
    job,
    side: layout.side,
    layout,
    panels: new Map(layout.panels.map((panel) => [panel.id, panel])),
    facts,
    length: jobLengthText(job),
  };
}

export const jobLengthText =
  ({ displayUnit }: Pick<Job, 'displayUnit'>) =>
  (mm: Mm): string =>
    lengthText(mm, displayUnit);

/** `the vertical seam at 1250 mm of LH`; for a seam with shape `the horizontal seam at 820 mm to 870 mm of LH` */
export const seamName = ({ side, length }: SideContext, seam: LineOnSide): string =>
  `the ${seam.direction} seam at ${seamAtText(seam, length)} of ${side.code}`;

/** `0.31 m²`, or in a job in inches `3.3 ft²`. */
export const areaText = ({ displayUnit }: Pick<Job, 'displayUnit'>, mm2: number): string =>
  displayUnit === 'mm' ? `${decimalText(mm2 / 1e6, 2)} m²` : `${decimalText(mm2 / MM_PER_FOOT ** 2, 1)} ft²`;

export const panelLabels = ({ panels }: SideContext, ids: readonly string[]): string =>
  listText(ids.map((id) => panels.get(id)?.label ?? id));

export const edgesText = (edges: readonly Edge[]): string =>
  `${listText(edges)} ${edges.length === 1 ? 'edge' : 'edges'}`;
