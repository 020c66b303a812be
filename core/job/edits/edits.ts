/**
 * Every edit of a job: a pure function of the job and its arguments that returns a new, sound job or one sentence on
 * why it cannot. Unchanged parts keep their identity and ids.
 *
 * ```ts
 * import { jobEmpty } from '../defaults.ts';
 *
 * const job = jobEmpty({ id: 'j1', number: 'ACL-7', name: 'Bookmobile', customer: 'Library', date: '2026-11-25' });
 * const changed = jobSet(job, { change: { preparedBy: 'R. Ortiz' } });
 * changed.value.preparedBy; // → 'R. Ortiz'
 * changed.value.printer === job.printer; // → true
 * ```
 */
export { artworkBoxSet, artworkCorrected, artworkSet } from './artwork-edits.ts';
export { doorSection } from './door-section.ts';
export type { EditResult } from './edit.ts';
export { filmAdd, filmRemove, filmSet, panelsFilmSet, sideFilmSet } from './film-edits.ts';
export { panelsDaySet, sideDaySet } from './install-day-edits.ts';
export {
  areaCornersSet,
  ITEM_LISTS,
  type ItemList,
  itemAdd,
  itemMove,
  itemRemove,
  itemSet,
  type SideItems,
  sideItems,
} from './item-edits.ts';
export { ItemsToPut, itemsPut } from './items-put.ts';
export {
  approvalSet,
  findingsAcknowledge,
  findingsUnacknowledge,
  type JobChange,
  jobSet,
} from './job-edits.ts';
export { type JointChange, jointsChange, jointTopsSwap, seamTrimChange } from './joint-edits.ts';
export { layoutReplace } from './layout-replace.ts';
export { letteringHeed, letteringIgnore } from './lettering-edits.ts';
export { bodyLinesPut } from './line-put.ts';
export { bodyLineRepeat } from './line-repeat.ts';
export {
  bodyLineBend,
  bodyLineDraw,
  bodyLinePointsSet,
  bodyLineStraighten,
} from './line-shape-edits.ts';
export { panelSplit } from './panel-split.ts';
export { type ScaleReading, scaleFromMeasurement, scaleSet } from './scale-edits.ts';
export { seamMove, seamRemove, seamsDistribute } from './seam-edits.ts';
export { seamFollow, seamsFollowing, seamUnfollow } from './seam-follow.ts';
export {
  type SideChange,
  sideAdd,
  sideCheckIn,
  sidePhotoSet,
  sideRemove,
  sideReorder,
  sideSet,
} from './side-edits.ts';
export { sideMirror } from './side-mirror.ts';
export { outlinesTrace, sideTemplateSet, type TracedAs } from './template-edits.ts';
export { unitNoted, unitsSet, vehicleAdd, vehicleRemove, vehicleSet } from './vehicle-edits.ts';
export { windowFilmSet, windowPrint } from './window-edits.ts';
