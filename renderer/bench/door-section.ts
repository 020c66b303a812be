import { doorSection } from '../../core/job/edits/edits.ts';
import { editJob } from '../state/open-job.ts';
import { announce } from './bench-state.ts';

/** Gives a door upright panels of its own, and says so. */
export function makeDoorSection(door: { readonly sideId: string; readonly doorId: string }): void {
  if (editJob('Make the door a section', (now) => doorSection(now, door))) return;
  announce('The door has upright panels of its own, with body-gap seams at its gaps.');
}
