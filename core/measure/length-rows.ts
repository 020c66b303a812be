import { type LengthUnit, lengthFromText } from './length-from-text.ts';
import { firstOf, lastOf } from './present.ts';
import { type Result, resultOk, resultProblem } from './result.ts';
import type { Mm } from './units.ts';

/**
 * Reads pairs of lengths that are typed or pasted from a sheet: one row per line, two figures separated by a semicolon
 * or a tab, in `unit` where none is given. Empty lines are skipped; at least two rows are required. `what` names the
 * contents of a row.
 */
export function lengthRowsFromText(
  text: string,
  unit: LengthUnit,
  { code, whole, what }: { readonly code: string; readonly whole: string; readonly what: string },
): Result<(readonly [Mm, Mm])[]> {
  const unreadable = (message: string) =>
    resultProblem({
      code,
      message,
      remedy: `Write one row a line: ${what}, separated by a semicolon or a tab.`,
    });
  const rows: (readonly [Mm, Mm])[] = [];
  for (const [index, row] of text.split(/\r?\n/).entries()) {
    if (row.trim() === '') continue;
    const cells = row.split(/[;\t]/);
    if (cells.length !== 2) return unreadable(`Row ${index + 1} needs 2 figures and has ${cells.length}.`);
    const lengths: Mm[] = [];
    for (const cell of cells) {
      const length = lengthFromText(cell, unit);
      if (!length.ok) return unreadable(`Row ${index + 1}: ${length.problem.message}`);
      lengths.push(length.value);
    }
    rows.push([firstOf(lengths), lastOf(lengths)]);
  }
  return rows.length < 2 ? unreadable(`${whole} needs two rows or more.`) : resultOk(rows);
}
