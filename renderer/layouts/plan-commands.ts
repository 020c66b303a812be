/** Commands of the plans. */
import { sideInHand } from '../bench/bench-state.ts';
import { focusCanvas, isCanvasFocused } from '../bench/canvas-focus.ts';
import type { Command } from '../commands/command.ts';
import { job } from '../state/open-job.ts';
import { route } from '../state/route.ts';
import { arePlansOpen, closePlans, openPlans } from './plan-state.ts';

const isOnBench = () => route.value.screen === 'bench' && job.value !== undefined;

export const planCommands: readonly Command[] = [
  {
    id: 'plans-show',
    label: 'Suggest panel layouts for the side',
    group: 'Seams',
    keys: ['P'],
    isEnabled: () => isOnBench() && isCanvasFocused.value && sideInHand.value !== undefined,
    run: openPlans,
  },
  {
    id: 'plans-close',
    label: 'Go from the layouts back to the bench',
    group: 'Seams',
    keys: ['Escape'],
    isEnabled: () => isOnBench() && arePlansOpen.value,
    run: () => {
      closePlans();
      focusCanvas();
    },
  },
];
