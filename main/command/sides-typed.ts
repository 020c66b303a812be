/** Sides of a vehicle as a command line gives them: `left=6000x2600`, `rear="98 1/2 in x 102 in"`, `left=Panel van`. */
import type { SavedLayout } from '../../core/job/edits/saved-layout.ts';
import { USUAL_SIDES, type UsualSide } from '../../core/job/edits/side-suggested.ts';
import type { SideToBegin } from '../../core/job/edits/vehicle-begin.ts';
import type { Job } from '../../core/job/schema.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { printable } from './terminal.ts';

interface Typed {
  readonly side: readonly string[];
  readonly savedLayout: readonly string[];
}

/** In the order in which they were given. A side with a saved layout and no size has the size of that one. */
export function sidesTyped(
  { side, savedLayout }: Typed,
  savedLayouts: readonly SavedLayout[],
  { displayUnit }: Pick<Job, 'displayUnit'>,
): Result<SideToBegin[]> {
  const sides = new Map<UsualSide, SideToBegin>();
  for (const text of savedLayout) {
    const named = roleAndRest(text);
    if (!named.ok) return named;
    const { role, rest } = named.value;
    const found = savedLayouts.find(({ name }) => name === rest);
    if (!found) {
      return resultProblem({
        code: 'saved-layout-unknown',
        message: `The shop has no saved layout “${printable(rest)}”.`,
        remedy:
          savedLayouts.length === 0
            ? 'Keep one from the bench first, or give the size of the side with --side.'
            : `Select from: ${savedLayouts.map(({ name }) => printable(name)).join(', ')}.`,
      });
    }
    const { widthMm, heightMm } = found;
    sides.set(role, { role, widthMm, heightMm, savedLayout: found });
  }
  for (const text of side) {
    const named = roleAndRest(text);
    if (!named.ok) return named;
    const { role, rest } = named.value;
    const [width, height, ...more] = rest
      .split(/[x×]/i)
      .map((length) => lengthFromText(length, displayUnit, { leastMm: 1, greatestMm: 100_000 }));
    if (!width || !height || more.length > 0) {
      return resultProblem({
        code: 'side-size',
        message: `“${printable(text)}” is no size of a side.`,
        remedy: 'Write width and height, such as left="6000 mm x 2600 mm".',
      });
    }
    if (!width.ok) return width;
    if (!height.ok) return height;
    sides.set(role, { ...sides.get(role), role, widthMm: width.value, heightMm: height.value });
  }
  return resultOk([...sides.values()]);
}

function roleAndRest(text: string): Result<{ readonly role: UsualSide; readonly rest: string }> {
  const at = text.indexOf('=');
  const role = USUAL_SIDES.find((each) => each === text.slice(0, at).trim().toLowerCase());
  if (at > 0 && role) return resultOk({ role, rest: text.slice(at + 1).trim() });
  return resultProblem({
    code: 'side-role',
    message: `“${printable(text)}” does not begin with a side of a vehicle.`,
    remedy: `Begin with one of ${USUAL_SIDES.join(', ')}, then = and its size or its saved layout.`,
  });
}
