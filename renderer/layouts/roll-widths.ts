/** Roll widths as people type them: `1220 mm; 54 in`. */
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import type { Mm } from '../../core/measure/units.ts';

/** What the contract takes. */
export const MOST_WIDTHS = 10;
const WIDTH_RANGE = { leastMm: 100, greatestMm: 10_000 };

/** Lengths with semicolons between them; a comma may be a decimal mark. */
export function widthsFromText(text: string, unit: 'mm' | 'in'): Result<readonly Mm[], Problem> {
  const parts = text
    .split(';')
    .map((part) => part.trim())
    .filter((part) => part !== '');
  if (parts.length > MOST_WIDTHS) return { ok: false, problem: tooMany };
  const widths = new Set<Mm>();
  for (const part of parts) {
    const width = lengthFromText(part, unit, WIDTH_RANGE);
    if (!width.ok) return width;
    widths.add(width.value);
  }
  return resultOk([...widths]);
}

const tooMany: Problem = {
  code: 'too-many-rolls',
  message: `Layouts can be compared over ${MOST_WIDTHS} other widths at most.`,
  remedy: 'Leave out the widths that this job will not use.',
};
