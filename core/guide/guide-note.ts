/** Texts of a panel guide: what it shows, and what to send back. */
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { decimalText, lengthText } from '../measure/length-text.ts';
import { EDGES } from '../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';
import { sheetLengthWithUnit } from '../sheets/sheet-length.ts';

/**
 * Distance to keep lettering from the band that both panels print at a seam, and from the edge of a side. Common
 * practice, no source. It is fixed rather than a setting, because it is only advice to the designer; the check of the
 * returned artwork finds what a seam really cuts.
 */
export const LETTERING_MM: Readonly<Record<Job['displayUnit'], { readonly seam: Mm; readonly edge: Mm }>> = {
  mm: { seam: 25, edge: 50 },
  in: { seam: MM_PER_INCH, edge: 2 * MM_PER_INCH },
};

export interface GuideFacts {
  /** Finished size ÷ drawn size. */
  readonly scale: number;
  /** Identifies the layout that the guide shows, in a few digits. */
  readonly revision: string;
  /** Pixels per inch on the vehicle; below it, pixels show. */
  readonly ppi: number;
}

export function guideNote(
  job: Job,
  { side, outline }: SideLayout,
  { scale, revision, ppi }: GuideFacts,
): readonly string[] {
  const unit = job.displayUnit;
  const length = (mm: Mm) => sheetLengthWithUnit(mm, unit);
  // Lengths on a page are given finer than on a vehicle.
  const drawn = (mm: Mm) => lengthText(mm / scale, unit === 'mm' ? 'mm' : 'in');
  const bleeds = new Set(EDGES.map((edge) => side.bleed[edge]));
  const bleed =
    bleeds.size === 1
      ? `${length(side.bleed.top)} on every edge`
      : EDGES.map((edge) => `${edge} ${length(side.bleed[edge])}`).join(', ');
  const keep = LETTERING_MM[unit];
  const order =
    job.sides.length > 1 ? `, a page for each side (${job.sides.map(({ code }) => code).join(', ')})` : '';
  return [
    `PANEL GUIDE · job ${job.number}, ${job.name} · ${side.code} ${side.name} · layout ${revision}, which may still change: ask before you finish.`,
    `Drawn at 1:${scale}. The side is ${length(outline.width)} × ${length(outline.height)} on the vehicle, ${drawn(outline.width)} × ${drawn(outline.height)} here: the heavy line, and the trim box of this page. Bleed: ${bleed}, the dashed line around it, and the bleed box.`,
    'Heavy lines inside are seams, the fine dashed lines beside them the printed overlap. Numbers name the panels, crossed areas get no film.',
    `Keep lettering, faces and logos out of the no-lettering zones: ${length(keep.seam)} beside each overlap, and ${length(keep.edge)} inside the edge of the side.`,
    `Draw on layers of your own. Before you send the artwork, delete the layers “Panel guide”: all their lines are in one spot ink, “Panel guide”.`,
    `Send back: one PDF${order}, at 1:${scale}, with the page boxes of this guide; artwork out to the bleed line; fonts embedded or as outlines; pictures of at least ${decimalText(Math.ceil(ppi), 0)} ppi on the vehicle, which is ${decimalText(Math.ceil(ppi) * scale, 0)} ppi at the size of this page.`,
  ];
}
