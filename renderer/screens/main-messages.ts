import type { ScreenMessage } from '../../core/contract/screen-message.ts';
import { runFromMenu } from '../commands/command.ts';
import { keepChangedPlan } from '../production/shared-roll-state.ts';
import { showProblem } from '../state/notices.ts';
import { saveNow, saveState } from '../state/open-job.ts';
import { openJobFile } from './job-import.ts';

/** Does what main says unasked; resolves to whether it could be done. */
export async function obeyMain(message: ScreenMessage): Promise<boolean> {
  switch (message.kind) {
    case 'command':
      runFromMenu(message.command);
      return true;
    case 'job-file':
      await openJobFile(message.file);
      return true;
    case 'save-now':
      await Promise.all([saveNow(), keepChangedPlan()]);
      return saveState.value !== 'failed';
    case 'notice':
      showProblem({ code: 'notice', message: message.message, remedy: message.remedy });
      return true;
  }
}
