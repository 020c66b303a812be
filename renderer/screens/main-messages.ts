import type { ScreenMessage } from '../../core/contract/screen-message.ts';
import { runFromMenu } from '../commands/command.ts';
import { changedPlanKept } from '../production/shared-roll-state.ts';
import { problemShown } from '../state/notices.ts';
import { savedNow, saveState } from '../state/open-job.ts';
import { openJobFile } from './job-import.ts';

/** Does what main says unasked; resolves to whether it could be done. */
export async function doAsMainSays(message: ScreenMessage): Promise<boolean> {
  switch (message.kind) {
    case 'command':
      runFromMenu(message.command);
      return true;
    case 'job-file':
      await openJobFile(message.file);
      return true;
    case 'save-now':
      await Promise.all([savedNow(), changedPlanKept()]);
      return saveState.value !== 'failed';
    case 'notice':
      problemShown({ code: 'notice', message: message.message, remedy: message.remedy });
      return true;
  }
}
