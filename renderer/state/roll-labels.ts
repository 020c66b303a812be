import { ask } from '../client/client.ts';
import { showDone, showProblem } from './notices.ts';
import { shopProfile } from './shop.ts';

/** Saves labels of rolls, by id or code, into a folder that the person selects. */
export async function saveRollLabels(rolls: readonly string[]): Promise<void> {
  const folder = await ask('folder:choose', { title: 'Folder for the labels' });
  if (!folder.ok) return showProblem(folder.problem);
  if (!folder.value) return;
  const request = { rolls: [...rolls], shop: shopProfile.value, skip: 0, folder: folder.value.token };
  const saved = await ask('stock:labels', request);
  if (saved.ok) showDone(`${saved.value.fileName} is in ${folder.value.name}.`);
  else showProblem(saved.problem);
}
