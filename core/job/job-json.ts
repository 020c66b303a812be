/** Reads and writes job files: text in, a sound job or one error sentence out. */
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import { type InvariantCode, jobInvariantProblem } from './job-invariants.ts';
import { documentMigrated } from './migrate.ts';
import { Job } from './schema.ts';
import { schemaSentence } from './schema-sentence.ts';

export type JobProblemCode =
  | 'job-not-json'
  | 'job-other-format'
  | 'job-nested-too-deep'
  | 'job-newer-version'
  | 'job-version-unknown'
  | 'job-other-draft'
  | 'job-field'
  | InvariantCode;

/** Deeper than any layout; without a limit, a malicious file could exhaust the stack. */
const MAX_DOCUMENT_DEPTH = 200;

/** Reads a job from JSON text or a parsed value; older versions are converted. Keeps JOB3. */
export function jobFromJson(given: unknown): Result<Job, Problem<JobProblemCode>> {
  const parsed = typeof given === 'string' ? valueFromText(given) : resultOk(given);
  if (!parsed.ok) return parsed;
  const document = parsed.value;
  if (!isRecord(document) || document.format !== 'panelwright-job') {
    return resultProblem({
      code: 'job-other-format',
      message: 'This is not a job file: the field “format” does not say “panelwright-job”.',
      remedy: 'Select a job file that this program wrote, or start from an example job.',
    });
  }
  if (isDeeperThan(document, MAX_DOCUMENT_DEPTH)) {
    return resultProblem({
      code: 'job-nested-too-deep',
      message: `The job file nests values more than ${MAX_DOCUMENT_DEPTH} deep.`,
      remedy: 'Lay out the side with fewer splits inside each other.',
    });
  }
  const migrated = documentMigrated(document);
  return migrated.ok ? jobChecked(migrated.value) : migrated;
}

/** Checks types and invariants of a value as a job of the present version. */
export function jobChecked(document: unknown): Result<Job, Problem<JobProblemCode>> {
  const parsed = Job.safeParse(document);
  if (!parsed.success) {
    return resultProblem({
      code: 'job-field',
      message: `The job is not valid: ${schemaSentence(parsed.error, document)}`,
      remedy: 'Correct that field and try again.',
    });
  }
  const problem = jobInvariantProblem(parsed.data);
  return problem ? resultProblem(problem) : resultOk(parsed.data);
}

/**
 * Writes a job: fields in schema order, two spaces of indent, a final newline. Equal jobs give equal bytes. Throws on a
 * value that is not a job, so that no broken file is written.
 */
export function jobToJson(job: Job): string {
  return `${JSON.stringify(Job.parse(job), null, 2)}\n`;
}

function valueFromText(text: string): Result<unknown, Problem<'job-not-json'>> {
  try {
    return resultOk(JSON.parse(text.replace(/^\uFEFF/, '')));
  } catch (error) {
    return resultProblem({
      code: 'job-not-json',
      message: `The job file is not valid JSON: ${jsonFault(String(error).replace(/[\s\p{Cc}]+/gu, ' '))}.`,
      remedy: 'Check the file for a missing comma, quote or bracket, or take an undamaged copy.',
    });
  }
}

/** Where the JSON is wrong, as far as the engine's message tells; the wording depends on the engine. */
function jsonFault(message: string): string {
  if (/end of JSON input|Unterminated/.test(message)) return 'it ends too early';
  const place = /line (\d+) column (\d+)/.exec(message);
  if (place) return `it cannot be read from line ${place[1]}, column ${place[2]}`;
  const near = /^SyntaxError: Unexpected token .+?, (.+) is not valid JSON$/.exec(message);
  return near ? `it cannot be read at ${near[1]}` : 'it cannot be read';
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function isDeeperThan(value: unknown, depth: number): boolean {
  if (typeof value !== 'object' || value === null) return false;
  return depth <= 0 || Object.values(value).some((inner) => isDeeperThan(inner, depth - 1));
}
