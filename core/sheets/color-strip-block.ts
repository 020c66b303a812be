/** Instructions for the color strip of a reprint, on its ticket and map. */
import { type ColorStrip, colorStripLabel } from '../output/color-strip.ts';
import { colorStripFileName } from '../output/file-name.ts';
import { listBlock, signOffRow } from './blocks.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetSize, UNIT_NAME } from './sheet-length.ts';

/** First on the ticket: no panel is printed before the color match is signed. */
export function colorStripBlocks(context: SheetContext): FlowBlock[] {
  const { job, strip } = context;
  if (!strip) return [];
  const { panel, edge, printed } = strip;
  const { size: written } = job.output;
  const size = `${sheetSize(printed, job.displayUnit)} ${UNIT_NAME[job.displayUnit]}`;
  const file = colorStripFileName(job.number, panel.label, written.kind === 'reduction' ? written.factor : 1);
  const entries = [
    `Print ${file} alone: ${size} of ${panel.label} at its ${edge} edge. Cut it off.`,
    job.laminate ? 'Dry and laminate it as the panels will be.' : 'Dry it as the panels will be.',
    `${compareText(strip)} Print the panels only when the colors match.`,
  ].map((text, index) => ({ mark: String(index + 1), text }));
  return [
    listBlock(context, `Color strip first: ${colorStripLabel(strip)}`, entries),
    signOffRow(context, 'Color strip on the vehicle', ['Colors match']),
  ];
}

/** `Hold it against LH-04 on the vehicle, in daylight.` */
export const compareText = ({ panel, neighbor }: ColorStrip): string =>
  neighbor
    ? `Hold it against ${neighbor.label} on the vehicle, in daylight.`
    : `Hold it against the film beside ${panel.label} on the vehicle, in daylight.`;
