/**
 * Every edit of a job: a pure function of the job and its arguments that gives a new, sound job or one
 * sentence why not. What an edit does not touch keeps its identity and its ids.
 */
export { artworkBoxSet, artworkSet } from './edits/artwork-edits.ts';
export type { EditProblem, EditProblemCode, EditResult } from './edits/edit.ts';
export {
  ITEM_LISTS,
  type ItemList,
  itemAdd,
  itemMove,
  itemRemove,
  itemSet,
  type SideItems,
} from './edits/item-edits.ts';
export { findingAcknowledge, findingUnacknowledge, type JobChange, jobSet } from './edits/job-edits.ts';
export { type JointChange, jointsChange, jointTopsSwap, type SeamsOfSide } from './edits/joint-edits.ts';
export { layoutReplace } from './edits/layout-replace.ts';
export { type PanelSplit, panelSplit } from './edits/panel-split.ts';
export { type ScaleReading, scaleFromMeasurement, scaleSet } from './edits/scale-edits.ts';
export { regionTidied, seamMove, seamRemove, seamsDistribute } from './edits/seam-edits.ts';
export {
  type SideChange,
  type SideNew,
  sideAdd,
  sideRemove,
  sideReorder,
  sideSet,
} from './edits/side-edits.ts';
export { sideMirror } from './edits/side-mirror.ts';
