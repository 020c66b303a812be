import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { firstOf } from '../../measure/present.ts';
import { countText, occurrencesOnSide, placeOnSide, placeText, type SideCheck } from '../check-context.ts';

/**
 * Settings for a particular device (ISO 32000-1, 10.5 and 10.6). Panels contain them too, and not every RIP follows
 * them.
 */
export function deviceFindings(check: SideCheck): Finding[] {
  const { page, side } = check;
  const transfer = page.transfer && occurrencesOnSide(check, page.transfer);
  const halftone = page.halftone && occurrencesOnSide(check, page.halftone);
  return [
    ...(transfer
      ? [
          withFigure(
            transfer.count,
            finding(
              'transfer-function',
              'warn',
              placeOnSide(check, transfer.places[0]),
              `Side ${side.code} has ${countText(transfer, 'object')} with a transfer function, which changes tones where the RIP follows it and does nothing elsewhere; the first begins ${placeText(check, firstOf(transfer.places))}.`,
              'Ask for the artwork without transfer functions, or set the RIP to treat them as for the customer proof.',
            ),
          ),
        ]
      : []),
    ...(halftone
      ? [
          finding(
            'halftone',
            'note',
            placeOnSide(check, halftone.places[0]),
            `Side ${side.code} has ${countText(halftone, 'object')} with a halftone of the file’s own; the first begins ${placeText(check, firstOf(halftone.places))}.`,
            'Set the RIP to use its own screening and not the file’s.',
          ),
        ]
      : []),
  ];
}
