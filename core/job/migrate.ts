/**
 * Converts documents of older versions to the present form. The list only grows: a released migration is never edited,
 * because archives hold jobs of every age.
 */
import type { Problem, Result } from '../measure/result.ts';
import { resultOk, resultProblem } from '../measure/result.ts';
import { JOB_SCHEMA, JOB_VERSION } from './schema.ts';

/** A document before its shape is known. */
export type StoredDocument = Readonly<Record<string, unknown>>;

export interface Migration {
  /** The version that this step produces, from the one before. */
  readonly to: number;
  /** The schema hash of its input documents. */
  readonly takes: string;
  /** What changed, and why. */
  readonly reason: string;
  readonly change: (document: StoredDocument) => StoredDocument;
}

/** Version 1 is the first; each later one has exactly one step here. */
export const MIGRATIONS: readonly Migration[] = [];

const PRESENT = { version: JOB_VERSION, schema: JOB_SCHEMA } as const;

/**
 * Brings a document to the present version. A newer version is rejected, because saving it again would lose fields that
 * this program does not know. Another draft of a version is also rejected, because no step exists for it.
 */
export function documentMigrated(
  document: StoredDocument,
  migrations: readonly Migration[] = MIGRATIONS,
  present: { readonly version: number; readonly schema: string } = PRESENT,
): Result<StoredDocument, Problem<'job-newer-version' | 'job-version-unknown' | 'job-other-draft'>> {
  const { version } = document;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return resultProblem({
      code: 'job-version-unknown',
      message: `The job file does not say which version it is: “version” is ${versionText(version)}.`,
      remedy:
        present.version === 1
          ? 'Set “version” to 1.'
          : `Set “version” to a whole number from 1 to ${present.version}.`,
    });
  }
  if (version > present.version) {
    return resultProblem({
      code: 'job-newer-version',
      message: `The job file is of version ${version}; this program reads versions up to ${present.version}.`,
      remedy: 'Open it with a newer release of the program; the file was left as it is.',
    });
  }
  const steps = migrations.filter(({ to }) => to > version);
  const schema = steps[0]?.takes ?? present.schema;
  if (document.schema !== schema) {
    return resultProblem({
      code: 'job-other-draft',
      message: `The job file was written by another draft of version ${version}: “schema” is ${versionText(document.schema)}, and this program reads “${schema}”.`,
      remedy:
        'Open it with the program that wrote it, or begin the job again from its artwork; the file was left as it is.',
    });
  }
  const migrated = steps.reduce((older, { change }) => change(older), document);
  return resultOk({ ...migrated, ...present });
}

const versionText = (version: unknown): string =>
  version === undefined ? 'missing' : (JSON.stringify(version)?.slice(0, 40) ?? String(version).slice(0, 40));
