/** Backup and check of the archive, from the menu; they show their progress on the screen of all jobs. */
import { ask } from '../client/client.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';
import { jobWork } from './job-import.ts';

export async function backUpArchive(): Promise<void> {
  const folder = await ask('folder:choose', { title: 'Folder for the backup' });
  if (!folder.ok) return showProblem(folder.problem);
  if (!folder.value) return;
  showScreen({ screen: 'jobs' });
  const request = { folder: folder.value.token };
  const copied = await jobWork.run('archive:back-up', request, 'Backing up the archive');
  if (!copied.ok) return showProblem(copied.problem);
  const { folderName, jobs, files, lost } = copied.value;
  const where = `${contents(jobs, files)} in ${folder.value.name} as ${folderName}.`;
  if (lost.length === 0) return showDone(`The backup is written: ${where}`);
  showProblem({
    code: 'backup-incomplete',
    message: `The backup lacks what the archive itself has lost: ${where}`,
    remedy: `${lost.join('; ')}. An earlier backup may have it.`,
  });
}

export async function checkArchive(): Promise<void> {
  showScreen({ screen: 'jobs' });
  const checked = await jobWork.run('archive:check', {}, 'Checking the archive');
  if (!checked.ok) return showProblem(checked.problem);
  const { jobs, files, faults } = checked.value;
  if (faults.length === 0) return showDone(`The archive is sound: ${contents(jobs, files)}.`);
  showProblem({
    code: 'archive-faults',
    message: `The archive has faults: ${faults.join('; ')}.`,
    remedy: 'Restore a backup that has what is missing (Archive menu).',
  });
}

const contents = (jobs: number, files: number): string =>
  `${jobs} ${jobs === 1 ? 'job' : 'jobs'} and ${files} ${files === 1 ? 'file' : 'files'}`;
