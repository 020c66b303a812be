/** Outputs that were cut before a seam moved. */
import { z } from 'zod';
import { type Finding, finding } from '../findings/finding.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Panel, panelOutline } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { ManifestPanel } from './manifest.ts';

/** Panels as an output cut them, each in the last output that has it: what was printed before is replaced. */
export const OutputPanels = z.strictObject({
  number: z.number().int().positive(),
  panels: z.array(
    ManifestPanel.pick({ panelId: true, label: true, finishedBox: true, finishedOutline: true }),
  ),
});
export type OutputPanels = z.infer<typeof OutputPanels>;

/** LIN10 One finding for each output that has panels of another outline than the layout has now. */
export function olderOutputFindings(
  layouts: readonly SideLayout[],
  outputs: readonly OutputPanels[],
): Finding[] {
  const now = new Map(layouts.flatMap(({ panels }) => panels.map((panel) => [panel.id, panel] as const)));
  return outputs.flatMap(({ number, panels }) => {
    const changed = panels.filter((cut) => !isOutlineOf(cut, now.get(cut.panelId)));
    if (changed.length === 0) return [];
    const labels = listText(changed.map(({ label }) => label));
    return [
      finding(
        'output-of-older-layout',
        'note',
        {},
        `Output ${number} was cut before the panel layout changed: ${labels} ${changed.length === 1 ? 'is' : 'are'} of another outline now.`,
        'Write all panels again that meet at a seam that moved; panels of two layouts do not fit each other.',
        changed.length,
      ),
    ];
  });
}

function isOutlineOf(
  { finishedBox, finishedOutline }: OutputPanels['panels'][number],
  panel: Panel | undefined,
): boolean {
  if (!panel) return false;
  const then = rectFromStored(finishedBox);
  const points = panelOutline(panel);
  const pairs = [
    ...(['x', 'y', 'width', 'height'] as const).map((key) => [then[key], panel.net[key]]),
    ...(finishedOutline ?? []).flatMap(({ xMm, yMm }, i) => [
      [xMm, points?.[i]?.x],
      [yMm, points?.[i]?.y],
    ]),
  ];
  return (
    (finishedOutline?.length ?? 0) === (points?.length ?? 0) &&
    pairs.every(([was, is]) => Math.abs(was! - is!) <= LENGTH_TOLERANCE_MM)
  );
}
