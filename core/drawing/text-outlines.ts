/** Lettering as outlines of its letters, so that a drawing needs no font where it is opened. */

import { itemAt } from '../measure/present.ts';
import type { Point } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Anchor, FontRole } from './drawing.ts';
import { fontFaceFromBytes, glyphsOfText } from './font-face.ts';
import type { FontLibrary } from './font-library.ts';

/** One step of a path in mm, y down: move, line, cubic curve, or close. */
export type PathStep = readonly ['M' | 'L', Mm, Mm] | readonly ['C', Mm, Mm, Mm, Mm, Mm, Mm] | readonly ['Z'];

const ANCHORED: Readonly<Record<Anchor, number>> = { start: 0, middle: 0.5, end: 1 };

/** One line of text whose base line begins, is centered or ends at `at`. */
export function textOutlines(
  fonts: FontLibrary,
  text: string,
  { role, sizeMm }: { readonly role: FontRole; readonly sizeMm: Mm },
  at: Point,
  anchor: Anchor = 'start',
): PathStep[] {
  const line = fonts.printable(text);
  let x = at.x - fonts.width(line, role, sizeMm) * ANCHORED[anchor];
  const steps: PathStep[] = [];
  for (const run of fonts.runs(line, role)) {
    const font = fontFaceFromBytes(fonts.file(run.face));
    const scale = sizeMm / font.unitsPerEm;
    for (const { path, advanceWidth } of glyphsOfText(font, run.text)) {
      const left = x;
      let pen: readonly [Mm, Mm] = [left, at.y];
      for (const { command, args } of path.commands) {
        const xy = (index: number): readonly [Mm, Mm] => [
          left + itemAt(args, index) * scale,
          at.y - itemAt(args, index + 1) * scale,
        ];
        switch (command) {
          case 'moveTo':
            steps.push(['M', ...xy(0)]);
            break;
          case 'lineTo':
            steps.push(['L', ...xy(0)]);
            break;
          case 'quadraticCurveTo': {
            const [control, to] = [xy(0), xy(2)];
            steps.push(['C', ...twoThirds(pen, control), ...twoThirds(to, control), ...to]);
            break;
          }
          case 'bezierCurveTo':
            steps.push(['C', ...xy(0), ...xy(2), ...xy(4)]);
            break;
          case 'closePath':
            steps.push(['Z']);
        }
        if (args.length > 0) pen = xy(args.length - 2);
      }
      x += advanceWidth * scale;
    }
  }
  return steps;
}

/** A control point of the cubic curve that equals a quadratic one. */
const twoThirds = (from: readonly [Mm, Mm], to: readonly [Mm, Mm]): [Mm, Mm] => [
  from[0] + (2 / 3) * (to[0] - from[0]),
  from[1] + (2 / 3) * (to[1] - from[1]),
];
