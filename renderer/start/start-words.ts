/** What the screens from artwork to layouts say. */
import type { Job } from '../../core/job/schema.ts';
import { listText } from '../../core/measure/list-text.ts';
import type { Rect } from '../../core/measure/rect.ts';
import { evidenceText, type ScaleProposal, scaleText } from '../../core/proposal/scale-proposal.ts';
import { sizeText } from '../bench/seam-words.ts';

type Unit = Job['displayUnit'];

interface SideWords {
  readonly page: number;
  readonly rect: Rect<'drawn'>;
  readonly name: string;
}

export const finishedText = ({ width, height }: Rect, scale: number, unit: Unit): string =>
  sizeText({ width: width * scale, height: height * scale }, unit);

/** `2 pages, 6000 mm × 2100 mm at 1:10: left side and right side` */
export function proposalText(sides: readonly SideWords[], scale: number, unit: Unit): string {
  const pageCount = new Set(sides.map(({ page }) => page)).size;
  const sizes = [...new Set(sides.map(({ rect }) => finishedText(rect, scale, unit)))];
  const names = sides.map(({ name }) => name.slice(0, 1).toLowerCase() + name.slice(1));
  const size = sizes.length === 1 ? `${sizes[0]} at ${scaleText(scale)}` : `at ${scaleText(scale)}`;
  return `${pageCount === 1 ? '1 page' : `${pageCount} pages`}, ${size}: ${listText(names)}`;
}

/** Why the scale is what it is. */
export function scaleReasonText(scale: number, read: ScaleProposal): string {
  const known = [read, ...read.others].find((each) => each.scale === scale);
  return known
    ? `${scaleText(scale)}, because ${evidenceText(known.evidence)}.`
    : `${scaleText(scale)}, as you entered it.`;
}
