/** What a verification writes into the folder that it is about. */
import { rm } from 'node:fs/promises';
import { join } from 'node:path';

export const VERIFICATION_NAME = 'verification.json';
/** Below the output folder; holds a picture of each difference. */
export const VERIFICATION_FOLDER = 'verification';

/** Of a file by its path in the folder. */
export const isOfVerification = (name: string): boolean =>
  name === VERIFICATION_NAME || name.startsWith(`${VERIFICATION_FOLDER}/`);

/** Takes away the verification of what was in a folder before, which says nothing of what will be. */
export async function removeVerification(folder: string): Promise<void> {
  await rm(join(folder, VERIFICATION_NAME), { force: true });
  await rm(join(folder, VERIFICATION_FOLDER), { recursive: true, force: true });
}
