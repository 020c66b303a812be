/**
 * Carries documents of older versions over to the present shape. The list only ever grows: a migration that
 * was released is never edited, because jobs of every age lie in archives.
 */
import type { Problem, Result } from '../measure/result.ts';
import { resultOk, resultProblem } from '../measure/result.ts';
import { JOB_VERSION } from './schema.ts';

/** A document before its shape is known. */
export type StoredDocument = Readonly<Record<string, unknown>>;

export interface Migration {
  /** The version that this step makes; it takes the one before. */
  readonly to: number;
  /** What changed and why, for whoever meets an old job. */
  readonly reason: string;
  readonly change: (document: StoredDocument) => StoredDocument;
}

/** Version 1 is the first; each later one has exactly one step here. */
export const MIGRATIONS: readonly Migration[] = [];

/**
 * Brings a document to JOB_VERSION. A newer version is refused rather than guessed at: saving it again would
 * lose what this program does not know.
 */
export function documentMigrated(
  document: StoredDocument,
  migrations: readonly Migration[] = MIGRATIONS,
  newest: number = JOB_VERSION,
): Result<StoredDocument, Problem<'job-newer-version' | 'job-version-unknown'>> {
  const { version } = document;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return resultProblem({
      code: 'job-version-unknown',
      message: `The job file does not say which version it is: “version” is ${versionText(version)}.`,
      remedy: newest === 1 ? 'Set “version” to 1.' : `Set “version” to a whole number from 1 to ${newest}.`,
    });
  }
  if (version > newest) {
    return resultProblem({
      code: 'job-newer-version',
      message: `The job file is of version ${version}; this program reads versions up to ${newest}.`,
      remedy: 'Open it with a newer release of the program; the file was left as it is.',
    });
  }
  const steps = migrations.filter(({ to }) => to > version);
  return resultOk(steps.reduce((older, { to, change }) => ({ ...change(older), version: to }), document));
}

const versionText = (version: unknown): string =>
  version === undefined ? 'missing' : (JSON.stringify(version)?.slice(0, 40) ?? String(version).slice(0, 40));
