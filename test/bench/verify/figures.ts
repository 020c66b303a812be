/**
 * What a verification costs: CPU beside drawing the panels once, and memory over all its processes. Each part runs in a
 * process of its own (`work.ts`), so that nothing of one is counted to another.
 */
import { join } from 'node:path';
import { type Worked, worked } from '../memory/process-tree.ts';

const WORK = join(import.meta.dirname, 'work.ts');

/** Writes the bookmobile's panels into `folder`; CPU seconds of PDFium drawing them once, at 32.6 megapixels together. */
export async function bookmobileDrawing(folder: string): Promise<number> {
  await worked(WORK, ['cut-bookmobile', folder]);
  const drawing = cpuOf(await worked(WORK, ['draw', folder]));
  console.log(`Drawing the panels of the bookmobile once: ${drawing.toFixed(1)} s of CPU`);
  return drawing;
}

/** CPU seconds of verifying the panels of the bookmobile in `folder`. */
export async function bookmobileVerification(folder: string): Promise<number> {
  const verification = await worked(WORK, ['verify-bookmobile', folder]);
  const verifying = cpuOf(verification);
  console.log(
    `Verification of the bookmobile: ${verifying.toFixed(1)} s of CPU, ${Math.round(verification.peakMB)} MB`,
  );
  return verifying;
}

export async function verifyOverDrawing(folder: string): Promise<number> {
  const drawing = await bookmobileDrawing(folder);
  return (await bookmobileVerification(folder)) / drawing;
}

/** Largest sum of memory over the processes that verify twelve panels of an artwork. */
export async function verifyPeakMB(artwork: string, folder: string): Promise<number> {
  await worked(WORK, ['cut', folder, artwork]);
  const verification = await worked(WORK, ['verify', folder, artwork]);
  const { peakMB } = verification;
  console.log(
    `Verification of twelve panels of ${artwork}: ${cpuOf(verification).toFixed(1)} s of CPU, ${Math.round(peakMB)} MB`,
  );
  return peakMB;
}

const cpuOf = ({ told }: Worked): number => told.cpuSeconds!;
