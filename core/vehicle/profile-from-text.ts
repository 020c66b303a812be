import { type LengthUnit, lengthFromText } from '../measure/length-from-text.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { ProfilePoint } from './ground-depth.ts';

const REMEDY = 'Write one row a line: a distance and a depth, separated by a semicolon or a tab.';

/**
 * Reads a measured profile as it is typed or pasted from a sheet: a row a line, distance and depth separated by a semicolon
 * or a tab, lengths in `unit` where they name none. Empty lines are passed over.
 */
export function profileFromText(text: string, unit: LengthUnit): Result<ProfilePoint[]> {
  const points: ProfilePoint[] = [];
  for (const [index, row] of text.split(/\r?\n/).entries()) {
    if (row.trim() === '') continue;
    const cells = row.split(/[;\t]/);
    if (cells.length !== 2)
      return profileProblem(`Row ${index + 1} needs 2 figures and has ${cells.length}.`);
    const lengths: number[] = [];
    for (const cell of cells) {
      const length = lengthFromText(cell, unit);
      if (!length.ok) return profileProblem(`Row ${index + 1}: ${length.problem.message}`);
      lengths.push(length.value);
    }
    points.push({ atMm: lengths[0]!, depthMm: lengths[1]! });
  }
  return points.length < 2 ? profileProblem('A profile needs two rows or more.') : resultOk(points);
}

const profileProblem = (message: string): { readonly ok: false; readonly problem: Problem } =>
  resultProblem({ code: 'profile-unreadable', message, remedy: REMEDY });
