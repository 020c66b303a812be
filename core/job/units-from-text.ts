/**
 * Vehicles of a fleet, typed, pasted or exported: one per line, with unit number and license plate separated by a tab,
 * a semicolon or a comma and quoted as spreadsheets do. A first line that names the columns is skipped.
 *
 *     BM-07, ACL 4471
 *     BM-08, ACL 4472   →   two units
 */

import { MAX_UNITS, type VehicleUnit } from './schema.ts';
import { unitKey } from './vehicles.ts';

export interface UnitsRead {
  readonly units: readonly VehicleUnit[];
  /** One sentence per unreadable line, with its number. */
  readonly problems: readonly string[];
}

const HEADING = /^(unit|unit (number|no\.?)|vehicle|fleet number)$/i;
const MOST_TEXT = 200;

/** Keeps VEH2. */
export function unitsFromText(text: string): UnitsRead {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((line, index) => ({ line, number: index + 1 }))
    .filter(({ line }) => line.trim() !== '');
  const between = ['\t', ';'].find((mark) => lines.some(({ line }) => line.includes(mark))) ?? ',';
  const rows = lines.map(({ line, number }) => ({ cells: cellsOf(line, between), number }));
  const isHeading = HEADING.test((rows[0]?.cells?.[0] ?? '').replaceAll('_', ' '));
  const units: VehicleUnit[] = [];
  const problems: string[] = [];
  const lineOf = new Map<string, number>();
  for (const { cells, number } of isHeading ? rows.slice(1) : rows) {
    const problem = cells ? rowProblem(cells, lineOf) : UNCLOSED_QUOTE;
    if (problem !== undefined) {
      problems.push(`Line ${number}: ${problem}`);
      continue;
    }
    const [unitNumber = '', licensePlate = ''] = cells ?? [];
    lineOf.set(unitKey(unitNumber), number);
    units.push({ unitNumber, licensePlate });
  }
  if (units.length > MAX_UNITS)
    problems.push(`The list has ${units.length} vehicles; ${MAX_UNITS} are the most of one type.`);
  if (units.length === 0 && problems.length === 0) problems.push('The list has no vehicle.');
  return { units, problems };
}

const UNCLOSED_QUOTE = 'a quote is opened and never closed. Close it on the same line.';

function rowProblem(cells: readonly string[], lineOf: ReadonlyMap<string, number>): string | undefined {
  const [unitNumber = '', licensePlate = '', ...others] = cells;
  if (unitNumber === '') return 'the unit number is missing. Write it first, then the license plate.';
  if (others.some((cell) => cell !== ''))
    return `there is more than a unit number and a license plate (“${others.find((cell) => cell !== '')}”). Put a text that has a comma in quotes.`;
  if (unitNumber.length > MOST_TEXT || licensePlate.length > MOST_TEXT)
    return `a text has more than ${MOST_TEXT} letters. Shorten it.`;
  const before = lineOf.get(unitKey(unitNumber));
  if (before !== undefined)
    return `the unit number ${unitNumber} stands on line ${before} already. Give each vehicle a unit number of its own.`;
  return undefined;
}

/** Undefined where a quote is never closed. */
function cellsOf(line: string, between: string): readonly string[] | undefined {
  const cells: string[] = [];
  let rest = line;
  for (;;) {
    const [whole, quoted] = /^ *"((?:[^"]|"")*)" */.exec(rest) ?? [];
    if (quoted === undefined && /^ *"/.test(rest)) return undefined;
    const end = whole === undefined ? (rest + between).indexOf(between) : whole.length;
    cells.push((quoted?.replaceAll('""', '"') ?? rest.slice(0, end)).trim());
    const after = rest.slice(end);
    if (after === '') return cells;
    if (!after.startsWith(between)) return undefined;
    rest = after.slice(between.length);
  }
}

/** The units as lines that read back unchanged. */
export const textFromUnits = (units: readonly VehicleUnit[]): string =>
  units
    .map(({ unitNumber, licensePlate }) =>
      [unitNumber, ...(licensePlate === '' ? [] : [licensePlate])].map(cellText).join(', '),
    )
    .join('\n');

const cellText = (text: string): string => (/[",;\t]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
