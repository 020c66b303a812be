/** The verification of an output's files where they lie, and what follows from its verdict. */
import { join, posix } from 'node:path';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { firstOf } from '../../core/measure/present.ts';
import type { Result } from '../../core/measure/result.ts';
import { NOT_VERIFIED } from '../../core/verify/not-verified.ts';
import {
  type OutputVerification,
  outputVerificationFromReport,
} from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import type { Archive } from '../archive/port.ts';
import { updateCurrent } from '../files/current-folder.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';
import { stampSheets } from './verdict-sheets.ts';
import type { Written } from './written-files.ts';

export interface VerifiedFiles {
  readonly verification: OutputVerification;
  /** The files as they are now: sheets carry the verdict. */
  readonly files: readonly OutputFile[];
  /** Notes about sheets and `current`. */
  readonly remarks: readonly string[];
}

type Parts = Pick<ActParts, 'work'> & { readonly archive: Archive | undefined };

/** An output stays even if its verification fails, and one that could not be finished says why. */
export async function verifyWritten(
  parts: Parts,
  written: Written,
  tools: TaskTools,
): Promise<VerifiedFiles> {
  const result = await verificationOf(parts, written, tools);
  if (result.ok) return await keepVerdict(parts, written, result.value, tools);
  const verification = notVerified(result.problem);
  if (written.id !== undefined) await parts.archive?.outputs.keepVerification(written.id, verification);
  return { verification, files: written.files, remarks: [] };
}

export async function verificationOf(
  { work }: Pick<ActParts, 'work'>,
  { job, artwork, folder, panelIds }: Written,
  tools: TaskTools,
): Promise<Result<VerificationReport>> {
  if (!artwork.ok) return artwork;
  const request = { job, artwork: artwork.value, folder, ...(panelIds && { panelIds }) };
  return await work.run('verification', request, tools);
}

/**
 * Stores a verdict with the output, updates its sheets, and copies the print files of a verified one to `current`. In
 * this order, so that an interruption leaves the stricter status: sheets say VERIFIED after the archive does, and NOT
 * RELEASED before.
 */
export async function keepVerdict(
  { archive }: Pick<Parts, 'archive'>,
  written: Written,
  report: VerificationReport,
  tools: TaskTools,
): Promise<VerifiedFiles> {
  const { id, number, folder, manifest } = written;
  const verification = outputVerificationFromReport(report);
  const isGood = verification.state === 'verified';
  const sheets = await stampSheets(archive, written, verification.state);
  const remarks: string[] = [];
  if (!isGood) remarks.push(...(await sheets.write()));
  if (archive) {
    await keepPictures(archive, folder, report);
    if (id !== undefined) await archive.outputs.keepVerification(id, verification, report, sheets.files);
  }
  if (isGood) {
    remarks.push(...(await sheets.write()));
    const { signal } = tools;
    // Who prints the panels of `current` wants no patch among them.
    if (!manifest.panels.some(({ patch }) => patch))
      remarks.push(...currentRemarks(await updateCurrent({ folder, number, manifest }, signal), written));
  }
  const changed = new Map(sheets.files.map((file) => [file.name, file]));
  return { verification, files: written.files.map((file) => changed.get(file.name) ?? file), remarks };
}

/** Pictures of differences go to the vault, because the folder of an output may be deleted before its failure is looked into. */
async function keepPictures(archive: Archive, folder: string, { sides }: VerificationReport): Promise<void> {
  for (const { differencePicture } of sides.flatMap(({ panels }) => panels)) {
    if (differencePicture !== undefined)
      await archive.vault.add(join(folder, ...differencePicture.split(posix.sep)));
  }
}

const MOST_NAMED = 3;

function currentRemarks(
  update: Awaited<ReturnType<typeof updateCurrent>>,
  { number: output, manifest }: Pick<Written, 'number' | 'manifest'>,
): string[] {
  if (!update.ok) return [`${update.problem.message} ${update.problem.remedy}`];
  const { folder, left, strangers, isChanged } = update.value;
  if (!isChanged) {
    return [`${folder} was left as it is: it holds panels of a later output and another panel layout.`];
  }
  return [
    `Print from ${folder}${enlargingText(manifest)}.`,
    ...(left.length > 0
      ? [
          `${namedFiles(left)} left ${folder}, because Output ${output} replaces them; they stay in the folder of their output.`,
        ]
      : []),
    ...(strangers.length > 0
      ? [
          `${folder} also holds ${namedFiles(strangers)}, which Panelwright did not write there and does not touch.`,
        ]
      : []),
  ];
}

function enlargingText({ panels }: Written['manifest']): string {
  const factors = [...new Set(panels.map(({ enlargeBy }) => enlargeBy))];
  if (factors.length > 1) return ', each file enlarged as its name says';
  return factors[0] === 1 ? '' : `, each file enlarged to ${decimalText(100 * firstOf(factors), 2)} %`;
}

function namedFiles(files: readonly string[]): string {
  const more = files.length - MOST_NAMED;
  return more > 0 ? `${files.slice(0, MOST_NAMED).join(', ')} and ${more} more` : files.join(', ');
}

const notVerified = ({ message, remedy }: { message: string; remedy: string }): OutputVerification => ({
  ...NOT_VERIFIED,
  sentences: [`The output was not verified. ${message} ${remedy}`],
});
