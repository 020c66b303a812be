/** What the designer can mend in the artwork of the open job, written to a folder. */
import { ask } from '../client/client.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { job } from '../state/open-job.ts';
import { workSlot } from '../state/work.ts';

/** Long work on the screen of the sheets. */
export const sheetWork = workSlot();

export async function writeDesignerFindings(): Promise<void> {
  const current = job.value;
  if (!current?.artwork) return;
  const folder = await ask('folder:choose', { title: 'Folder for the findings' });
  if (!folder.ok) return showProblem(folder.problem);
  if (!folder.value) return;
  const request = { job: current, folder: folder.value.token };
  const written = await sheetWork.run('findings:write', request, 'Checking the artwork', current.id);
  if (!written.ok) return showProblem(written.problem);
  const { count, folder: where, fileNames, remarks } = written.value;
  const found =
    count === 0
      ? 'There is nothing to ask of the designer.'
      : `${count} ${count === 1 ? 'finding' : 'findings'} for the designer.`;
  showDone([found, `In ${where}: ${fileNames.join(', ')}.`, ...remarks].join(' '));
}
