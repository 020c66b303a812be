/** All commands, in the order of the shortcuts list. */

import { MENU_KEYS } from '../../core/contract/screen-message.ts';
import { jobSet } from '../../core/job/edits/edits.ts';
import { benchCommands } from '../bench/bench-commands.ts';
import { host } from '../client/client.ts';
import type { Command } from '../commands/command.ts';
import { planCommands } from '../layouts/plan-commands.ts';
import { canRedo, canUndo, stepRedone, stepUndone } from '../production/shared-roll-state.ts';
import {
  openCleaning,
  openGuide,
  openHelp,
  openNewJob,
  openRecentJobs,
  showKeysSheet,
} from '../state/dialogs.ts';
import { editJob, isReadOnly, job, jobHistory, redoEdit, undoEdit } from '../state/open-job.ts';
import { route, showScreen } from '../state/route.ts';
import { changeSettings, settings } from '../state/settings.ts';
import { canRedoMove, canUndoMove, moveRedone, moveUndone } from '../state/week.ts';
import { backUpArchive, checkArchive } from './archive-care.ts';
import { writeDesignerFindings } from './designer-findings.ts';
import { chooseAndImport } from './job-import.ts';

const always = () => true;

/** The search field of the job list, once that screen is drawn. */
const focusSearch = (): void => {
  requestAnimationFrame(() => {
    requestAnimationFrame(() => document.querySelector<HTMLElement>('.jobs-filters input')?.focus());
  });
};

const isOnSharedRolls = () => route.value.screen === 'shared-rolls';
const isOnWeek = () => route.value.screen === 'week';
const hasJob = () => job.value !== undefined;
const goTo =
  (screen: 'bench' | 'production' | 'sheets' | 'output' | 'history' | 'reprint' | 'compare') => () => {
    if (job.value) showScreen({ screen, jobId: job.value.id });
  };

export const PROGRAM_COMMANDS: readonly Command[] = [
  {
    id: 'help-show',
    label: 'View help for this screen',
    group: 'Program',
    keys: MENU_KEYS['help-show'],
    isWhileTyping: true,
    isEnabled: always,
    run: openHelp,
  },
  {
    id: 'first-steps-show',
    label: 'Go to the first steps',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'first-steps' }),
  },
  {
    id: 'glossary-show',
    label: 'Go to the glossary',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'glossary' }),
  },
  {
    id: 'about-show',
    label: 'Go to version, this machine and licenses',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'about' }),
  },
  {
    id: 'keys-show',
    label: 'View the shortcuts',
    group: 'Program',
    keys: MENU_KEYS['keys-show'],
    isWhileTyping: true,
    isEnabled: always,
    run: showKeysSheet,
  },
  {
    id: 'jobs-show',
    label: 'Go to all jobs',
    group: 'Program',
    keys: MENU_KEYS['jobs-show'],
    isWhileTyping: true,
    isEnabled: always,
    run: () => {
      showScreen({ screen: 'jobs' });
      focusSearch();
    },
  },
  {
    id: 'recent-show',
    label: 'Open a recent job',
    group: 'Program',
    keys: MENU_KEYS['recent-show'],
    isWhileTyping: true,
    isEnabled: always,
    run: openRecentJobs,
  },
  {
    id: 'job-close',
    label: 'Close the job',
    group: 'Job',
    isWhileTyping: true,
    isEnabled: hasJob,
    run: () => showScreen({ screen: 'jobs' }),
  },
  {
    id: 'shop-show',
    label: 'Go to the settings of the shop',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'shop' }),
  },
  {
    id: 'rolls-show',
    label: 'Go to the rolls on the shelf',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'rolls' }),
  },
  {
    id: 'week-show',
    label: 'Go to the week of the shop',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'week' }),
  },
  {
    id: 'reports-show',
    label: 'Go to the reports of the shop',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => showScreen({ screen: 'reports' }),
  },
  {
    id: 'job-new',
    label: 'Begin a new job',
    group: 'Program',
    // Browsers reserve these keys.
    ...(host === 'desktop' && { keys: MENU_KEYS['job-new'] }),
    isWhileTyping: true,
    isEnabled: always,
    run: () => {
      showScreen({ screen: 'jobs' });
      openNewJob();
    },
  },
  {
    id: 'job-import',
    label: 'Import a job file',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: () => host === 'desktop',
    run: () => {
      showScreen({ screen: 'jobs' });
      return chooseAndImport();
    },
  },
  {
    id: 'archive-back-up',
    label: 'Back up the archive',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: () => host === 'desktop',
    run: backUpArchive,
  },
  {
    id: 'archive-check',
    label: 'Check the archive',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: () => host === 'desktop',
    run: checkArchive,
  },
  {
    id: 'archive-clean',
    label: 'Clean the vault',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => {
      showScreen({ screen: 'jobs' });
      openCleaning();
    },
  },
  {
    id: 'theme-toggle',
    label: 'Switch between light and dark',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => changeSettings({ theme: settings.value.theme === 'dark' ? 'light' : 'dark' }),
  },
  {
    id: 'next-step-toggle',
    label: 'View or hide what comes next',
    group: 'Program',
    isWhileTyping: true,
    isEnabled: always,
    run: () => changeSettings({ isNextStepShown: !settings.value.isNextStepShown }),
  },
  {
    id: 'interface-larger',
    label: 'Make everything larger',
    group: 'Program',
    keys: [...MENU_KEYS['interface-larger'], 'Ctrl+Alt+='],
    isWhileTyping: true,
    isEnabled: () => settings.value.zoomPercent < 200,
    run: () => changeSettings({ zoomPercent: settings.value.zoomPercent + 10 }),
  },
  {
    id: 'interface-smaller',
    label: 'Make everything smaller',
    group: 'Program',
    keys: MENU_KEYS['interface-smaller'],
    isWhileTyping: true,
    isEnabled: () => settings.value.zoomPercent > 70,
    run: () => changeSettings({ zoomPercent: settings.value.zoomPercent - 10 }),
  },
  {
    id: 'bench-show',
    label: 'Go to the bench',
    group: 'Job',
    keys: ['Ctrl+1'],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: goTo('bench'),
  },
  {
    id: 'production-show',
    label: 'Go to production',
    group: 'Job',
    keys: ['Ctrl+2'],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: goTo('production'),
  },
  {
    id: 'compare-show',
    label: 'Compare artworks',
    group: 'Job',
    isEnabled: hasJob,
    run: goTo('compare'),
  },
  {
    id: 'sheets-show',
    label: 'Go to the sheets',
    group: 'Job',
    keys: ['Ctrl+3'],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: goTo('sheets'),
  },
  {
    id: 'output-show',
    label: 'Go to the output',
    group: 'Job',
    keys: ['Ctrl+4', ...MENU_KEYS['output-show']],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: goTo('output'),
  },
  {
    id: 'history-show',
    label: 'Go to the history',
    group: 'Job',
    keys: ['Ctrl+5'],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: goTo('history'),
  },
  {
    id: 'reprint-show',
    label: 'Reprint panels',
    group: 'Job',
    keys: ['Ctrl+6'],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: goTo('reprint'),
  },
  {
    id: 'guide-write',
    label: 'Write a panel guide for the designer',
    group: 'Job',
    isWhileTyping: true,
    isEnabled: () => (job.value?.sides.length ?? 0) > 0,
    run: openGuide,
  },
  {
    id: 'designer-findings-write',
    label: 'Write the findings for the designer',
    group: 'Job',
    isWhileTyping: true,
    isEnabled: () => job.value?.artwork !== undefined,
    run: () => {
      goTo('sheets')();
      return writeDesignerFindings();
    },
  },
  {
    id: 'undo',
    label: 'Undo the last edit',
    group: 'Job',
    keys: MENU_KEYS.undo,
    isEnabled: () =>
      isOnSharedRolls()
        ? canUndo.value
        : isOnWeek()
          ? canUndoMove()
          : (jobHistory.value?.past.length ?? 0) > 0 && !isReadOnly.value,
    run: () => (isOnSharedRolls() ? stepUndone() : isOnWeek() ? moveUndone() : undoEdit()),
  },
  {
    id: 'redo',
    label: 'Redo the edit that was undone',
    group: 'Job',
    keys: MENU_KEYS.redo,
    isEnabled: () =>
      isOnSharedRolls()
        ? canRedo.value
        : isOnWeek()
          ? canRedoMove()
          : (jobHistory.value?.future.length ?? 0) > 0 && !isReadOnly.value,
    run: () => (isOnSharedRolls() ? stepRedone() : isOnWeek() ? moveRedone() : redoEdit()),
  },
  {
    id: 'units-toggle',
    label: 'Switch between millimeters and inches',
    group: 'Job',
    keys: MENU_KEYS['units-toggle'],
    isWhileTyping: true,
    isEnabled: hasJob,
    run: () => {
      editJob('Switch units', (current) =>
        jobSet(current, { change: { displayUnit: current.displayUnit === 'mm' ? 'in' : 'mm' } }),
      );
    },
  },
  ...benchCommands,
  ...planCommands,
];
