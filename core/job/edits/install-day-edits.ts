/** Sets the days on which sides and panels are installed. */
import { resultOk } from '../../measure/result.ts';
import { installDay } from '../install-days.ts';
import { regionPanels, regionWithPanels } from '../region.ts';
import type { Job, PanelRegion, Side } from '../schema.ts';
import { type EditResult, panelUnknown, sideEdited } from './edit.ts';

/** Sets one installation day for all panels of a side. */
export const sideDaySet = (
  job: Job,
  { sideId, day }: { readonly sideId: string; readonly day: number },
): EditResult =>
  sideEdited(job, sideId, ({ side }) => resultOk(panelsOnDay(withDay(side, day, 1), () => undefined)));

/** Sets the installation day of some panels of a side. */
export const panelsDaySet = (
  job: Job,
  { sideId, panelIds, day }: { sideId: string; panelIds: readonly string[]; day: number },
): EditResult =>
  sideEdited(job, sideId, ({ side }) => {
    const known = new Set(regionPanels(side.layout).map(({ id }) => id));
    const unknown = panelIds.find((panelId) => !known.has(panelId));
    if (unknown !== undefined) return panelUnknown(side, unknown);
    return resultOk(panelsOnDay(side, (panel) => (panelIds.includes(panel.id) ? day : panel.installDay)));
  });

/** A panel stores its day only where it differs from the day of its side. */
const panelsOnDay = (side: Side, dayOf: (panel: PanelRegion) => number | undefined): Side => ({
  ...side,
  layout: regionWithPanels(side.layout, (panel) =>
    withDay(panel, dayOf(panel) ?? installDay(side), installDay(side)),
  ),
});

function withDay<T extends { installDay?: number | undefined }>(
  { installDay: _, ...rest }: T,
  day: number,
  usual: number,
): T {
  return (day === usual ? rest : { ...rest, installDay: day }) as T;
}
