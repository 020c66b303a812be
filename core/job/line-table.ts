/** Body lines from a table in spreadsheet format: one row per point, with the name of its line. */
import { type LengthUnit, lengthFromText } from '../measure/length-from-text.ts';
import { listText } from '../measure/list-text.ts';
import { firstOf } from '../measure/present.ts';
import type { Point } from '../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { BodyLineKind } from './schema.ts';

export interface TableLine {
  readonly name: string;
  /** Undefined where no row gives it. */
  readonly kind: BodyLineKind | undefined;
  readonly points: readonly Point<'finished'>[];
}

const NEEDED = ['line', 'x', 'y'] as const;
const SEPARATORS = [';', '\t', ','] as const;

/**
 * Reads rows under a header with the columns `line`, `x`, `y` and optionally `kind`, in any order, separated by
 * semicolons, tabs or commas. Lengths are from the left and top of the side, in `unit` where none is given. The points
 * of a line are in order; rows of several lines may be mixed. Problems, with the row: `lines-unreadable`.
 */
export function linesFromTable(text: string, unit: LengthUnit): Result<TableLine[]> {
  const rows = text.replace(/^\ufeff/, '').split(/\r?\n/);
  const separator = SEPARATORS.find((each) => firstOf(rows).includes(each)) ?? ',';
  const head = cellsOf(firstOf(rows), separator).map((cell) => cell.toLowerCase());
  const missing = NEEDED.filter((name) => !head.includes(name));
  if (missing.length > 0) return unreadable(`The first row does not name ${listText(missing)}.`);
  const lines = new Map<string, { kind: BodyLineKind | undefined; points: Point<'finished'>[] }>();
  for (const [index, row] of rows.entries()) {
    if (index === 0 || row.trim() === '') continue;
    const cells = cellsOf(row, separator);
    const wrong = (what: string) => unreadable(`Row ${index + 1}: ${what}`);
    if (cells.length !== head.length)
      return wrong(`it has ${cells.length} cells, and the head has ${head.length}.`);
    const cell = (column: string): string => cells[head.indexOf(column)] ?? '';
    const name = cell('line');
    if (name === '') return wrong('it names no line.');
    const kind = cell('kind').toLowerCase().replaceAll(' ', '-');
    const known = BodyLineKind.options.find((option) => option === kind);
    if (kind !== '' && !known)
      return wrong(`“${cell('kind')}” is no kind of body line: ${BodyLineKind.options.join(', ')}.`);
    const [x, y] = [lengthFromText(cell('x'), unit), lengthFromText(cell('y'), unit)];
    if (!x.ok) return wrong(x.problem.message);
    if (!y.ok) return wrong(y.problem.message);
    const line = lines.get(name) ?? { kind: known, points: [] };
    if (known && line.kind && line.kind !== known)
      return wrong(`“${name}” is a ${line.kind} in an earlier row.`);
    line.kind ??= known;
    line.points.push({ x: x.value, y: y.value });
    lines.set(name, line);
  }
  if (lines.size === 0) return unreadable('The table has no row below its head.');
  return resultOk([...lines].map(([name, line]) => ({ name, ...line })));
}

/** Cells without surrounding spaces; quoted where they contain the separator, with quotation marks doubled. */
function cellsOf(row: string, separator: string): string[] {
  const cells: string[] = [''];
  let isQuoted = false;
  for (const letter of row.replaceAll('""', '\u0000')) {
    if (letter === '"') isQuoted = !isQuoted;
    else if (letter === separator && !isQuoted) cells.push('');
    else cells[cells.length - 1] += letter === '\u0000' ? '"' : letter;
  }
  return cells.map((cell) => cell.trim());
}

const unreadable = (message: string) =>
  resultProblem({
    code: 'lines-unreadable',
    message,
    remedy:
      'Write a head of line, kind, x, y, then a row a point: the line’s name, its kind, the distances from left and top.',
  });
