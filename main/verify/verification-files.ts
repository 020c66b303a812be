/** The files that a verification writes into the folder that it checks. */
import { rm } from 'node:fs/promises';
import { join } from 'node:path';

export const VERIFICATION_NAME = 'verification.json';
/** In the output folder; contains a picture of each difference. */
export const VERIFICATION_FOLDER = 'verification';

/** Whether a path in the folder belongs to a verification. */
export const isOfVerification = (name: string): boolean =>
  name === VERIFICATION_NAME || name.startsWith(`${VERIFICATION_FOLDER}/`);

/** Removes an old verification from a folder whose files will change. */
export async function removeVerification(folder: string): Promise<void> {
  await rm(join(folder, VERIFICATION_NAME), { force: true });
  await rm(join(folder, VERIFICATION_FOLDER), { recursive: true, force: true });
}
