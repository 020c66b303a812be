import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { firstOf } from '../../measure/present.ts';
import { countText, occurrencesOnSide, placeOnSide, placeText, type SideCheck } from '../check-context.ts';

/** Overprint: right for black on color, reportFatal for white. Keeps AC8. */
export function overprintFindings(check: SideCheck): Finding[] {
  const { page, side } = check;
  const white = page.whiteOverprint && occurrencesOnSide(check, page.whiteOverprint);
  const all = page.overprint && occurrencesOnSide(check, page.overprint);
  return [
    ...(white
      ? [
          withFigure(
            white.count,
            finding(
              'overprint-white',
              'warn',
              placeOnSide(check, white.places[0]),
              `Side ${side.code} has ${countText(white, 'white object')} set to overprint, which vanishes wherever the RIP honors overprint; the first begins ${placeText(check, firstOf(white.places))}.`,
              'Ask for the artwork with overprint of white switched off.',
            ),
          ),
        ]
      : []),
    ...(all
      ? [
          finding(
            'overprint',
            'note',
            placeOnSide(check, all.places[0]),
            `Side ${side.code} has ${countText(all, 'object')} set to overprint, which the panels keep and the preview does not show.`,
            'Check that the RIP honors overprint, and judge these objects on the customer proof.',
          ),
        ]
      : []),
  ];
}
