/**
 * An expected outcome that may be a failure. Expected failures (bad artwork, a seam out of its region) are
 * values with a stable code, so that they cross process borders; a bug throws.
 */
export type Result<T, P extends Problem = Problem> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: P };

/** Why an expected operation failed: a stable `code`, one sentence for the operator, and what to do. */
export interface Problem<Code extends string = string> {
  readonly code: Code;
  /** The problem and its place, in one sentence. */
  readonly message: string;
  /** What the operator can do about it, one sentence. */
  readonly remedy: string;
}

export const resultOk = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });

export const resultProblem = <P extends Problem>(
  problem: P,
): { readonly ok: false; readonly problem: P } => ({
  ok: false,
  problem,
});
