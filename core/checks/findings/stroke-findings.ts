import { type Finding, finding, type Severity, withFigure } from '../../findings/finding.ts';
import { decimalText } from '../../measure/length-text.ts';
import { firstOf } from '../../measure/present.ts';
import type { Mm } from '../../measure/units.ts';
import {
  countText,
  type OnSide,
  occurrencesOnSide,
  placeOnSide,
  placeText,
  type SideCheck,
} from '../check-context.ts';
import type { ScannedStroke } from '../scan/schema.ts';

interface StrokesOnSide extends OnSide {
  readonly drawnMm: Mm;
  readonly finishedMm: Mm;
}

/** Hairlines: lines that vanish at true size, and thin lines in the drawing that become bars. Keeps AC13. */
export function strokeFindings(check: SideCheck): Finding[] {
  const { limits, side } = check;
  const strokes = check.page.strokes.flatMap((stroke) => strokesOnSide(check, stroke));
  const say = (
    code: string,
    severity: Severity,
    found: readonly StrokesOnSide[],
    message: (count: string, first: StrokesOnSide, place: string) => string,
    remedy: string,
  ): Finding[] => {
    const [first] = found;
    if (first === undefined) return [];
    const all = {
      count: found.reduce((sum, { count }) => sum + count, 0),
      isExact: found.every(({ isExact }) => isExact),
    };
    const text = message(countText(all, 'stroke'), first, placeText(check, firstOf(first.places)));
    return [
      withFigure(all.count, finding(code, severity, placeOnSide(check, first.places[0]), text, remedy)),
    ];
  };
  return [
    ...say(
      'stroke-zero',
      'warn',
      strokes.filter(({ drawnMm }) => drawnMm === 0),
      (count, _, place) =>
        `Side ${side.code} has ${count} of width 0, one dot wide on whatever device and at any scale; the first begins ${place}.`,
      'Ask for real line widths, or accept that these lines can hardly be seen.',
    ),
    ...say(
      'stroke-hairline',
      'warn',
      strokes.filter(({ drawnMm, finishedMm }) => drawnMm > 0 && finishedMm < limits.minStrokeMm),
      (count, { finishedMm }, place) =>
        `Side ${side.code} has ${count} thinner than ${decimalText(limits.minStrokeMm, 3)} mm at finished size, the thinnest ${decimalText(finishedMm, 3)} mm and beginning ${place}.`,
      'Ask for wider lines, or accept that these break up or vanish in print.',
    ),
    ...say(
      'stroke-huge',
      'note',
      strokes.filter(
        ({ drawnMm, finishedMm }) =>
          drawnMm > 0 && drawnMm <= limits.hairlineDrawnMm && finishedMm >= limits.hugeHairlineMm,
      ),
      (count, { drawnMm, finishedMm }, place) =>
        `Side ${side.code} has ${count} drawn as hairlines that come out as bars, the first drawn ${decimalText(drawnMm, 3)} mm and printed ${decimalText(finishedMm, 1)} mm wide, beginning ${place}.`,
      'Check that these lines are meant to be seen, and are not guides of the drawing.',
    ),
  ];
}

function strokesOnSide(check: SideCheck, stroke: ScannedStroke): StrokesOnSide[] {
  const on = occurrencesOnSide(check, stroke);
  return on ? [{ ...on, drawnMm: stroke.widthMm, finishedMm: stroke.widthMm * check.job.scale }] : [];
}
