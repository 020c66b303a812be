/** The first steps: the demo job from artwork to panels, explained above the screens where it is done. */

import { itemAt } from '../../core/measure/present.ts';
import { showStage } from '../bench/bench-state.ts';
import { ask } from '../client/client.ts';
import { showProblem } from '../state/notices.ts';
import { job } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';
import { changeSettings, settings } from '../state/settings.ts';

export interface FirstStep {
  readonly title: string;
  readonly text: string;
  /** What to look at, or to try. */
  readonly look: string;
  /** Commands whose keys are shown with it. */
  readonly commands?: readonly string[];
  readonly screen: 'bench' | 'output';
  /** What the bench shows. */
  readonly stage?: 'page' | 'all' | 'side';
}

export const FIRST_STEPS: readonly FirstStep[] = [
  {
    title: 'Artwork',
    text: 'This is the artwork: one flat PDF with a page for each side of a bookmobile, drawn at 1:10. Panelwright keeps the file as it is.',
    look: 'Look at the scale and the page size in the inspector. The tab “Artwork pages” shows each page of the file.',
    screen: 'bench',
    stage: 'page',
  },
  {
    title: 'Sides',
    text: 'Each face of the vehicle is a side at its finished size: driver side (DS), passenger side (PS) and REAR.',
    look: 'Point at a line or an area on a side: body lines, lettering that no seam may cross, windows and lamps that stay free of film.',
    screen: 'bench',
    stage: 'all',
  },
  {
    title: 'Panel layout',
    text: 'Seams divide the side into panels, numbered in install order. They hide in gaps and at moldings, and keep off lettering.',
    look: 'Select a panel and view it as it prints, with border, bleed and overlaps. Suggest panel layouts to compare others.',
    commands: ['panel-view', 'plans-show'],
    screen: 'bench',
    stage: 'side',
  },
  {
    title: 'Output',
    text: 'Here the panels are written: one PDF each for the RIP, with an install map, a ticket and labels. Then each panel is verified against the artwork.',
    look: 'Read what the checks say. To write the files, select a folder; it takes a minute or two. The history keeps every output.',
    screen: 'output',
  },
  {
    title: 'Your own job',
    text: 'That was a job. For your own, go to the jobs and drop an artwork PDF there: sides, scale and layouts are proposed.',
    look: 'Every screen has its help, and terms lead to the glossary.',
    commands: ['help-show'],
    screen: 'output',
  },
];

/** Opens the demo job at a step. */
export async function showFirstStep(step: number): Promise<void> {
  const demo = await ask('job:demo', {});
  if (!demo.ok) return showProblem(demo.problem);
  changeSettings({ firstStep: step });
  showScreen({ screen: itemAt(FIRST_STEPS, step).screen, jobId: demo.value.id });
}

/** Shows on the bench what the step explains, once the job is open. */
export function showStageOfStep(): void {
  const { stage } = FIRST_STEPS[settings.value.firstStep ?? -1] ?? {};
  const sideId = job.value?.sides[0]?.id;
  if (stage === 'page') showStage({ kind: 'page', page: 1 });
  else if (stage === 'all') showStage({ kind: 'all' });
  else if (stage === 'side' && sideId !== undefined) showStage({ kind: 'side', sideId });
}

export const endFirstSteps = (): void => changeSettings({ firstStep: undefined });
