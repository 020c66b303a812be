/** Seams through lettering that was found in the artwork and is not a no-seam area. */

import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { jobLengthText, seamName, sideContext } from '../../findings/layout/finding-context.ts';
import type { Job, Side } from '../../job/schema.ts';
import { rectFromStored, storedFromRect } from '../../job/stored-rect.ts';
import type { Seam } from '../../layout/panel.ts';
import { seamWithin } from '../../layout/seam-line-place.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import type { Lettering } from '../../lettering/lettering.ts';
import {
  type CrossingReason,
  type LetteringCrossing,
  letteringCrossings,
  SMALL_CAPITALS_MM,
} from '../../lettering/lettering-crossing.ts';
import { sentence } from '../../measure/list-text.ts';
import type { Rect } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import { placeText } from '../check-context.ts';
import type { ArtworkScan, PageScan } from '../scan/schema.ts';
import { isLetteringAt, letteringOnSide, sideLettering } from '../side-lettering.ts';

/** Each reason has a separate code, so that similar findings can be acknowledged together. */
export const LETTERING_CODES: Readonly<Record<CrossingReason, string>> = {
  'phone-number': 'seam-through-phone-number',
  'web-address': 'seam-through-web-address',
  'legal-marking': 'seam-through-legal-marking',
  small: 'seam-through-lettering',
  'upright-stroke': 'seam-along-upright-stroke',
  large: 'seam-through-large-lettering',
  unsure: 'seam-through-likely-lettering',
};

const NOUNS = {
  'phone-number': 'phone number',
  'web-address': 'web address',
  'legal-marking': 'legal marking',
} as const;

/** Lettering inside a no-seam area already has a finding. Keeps PL8 and PL9. */
export function letteringSeamFindings(
  job: Job,
  layouts: readonly SideLayout[],
  scan: ArtworkScan,
): Finding[] {
  return layouts.flatMap((layout) => {
    const { side, seams } = layout;
    const page = scan.pages.find(({ number }) => number === side.page);
    if (!page) return [];
    const ignored = ignoredFindings(job, side);
    const lettering = sideLettering(job, side, page).filter((each) => !isKeptOff(side, each));
    const length = jobLengthText(job);
    const context = sideContext(job, layout, {});
    const crossedSeams = seams.filter(
      ({ firstPanelIds, secondPanelIds }) => firstPanelIds.length > 0 || secondPanelIds.length > 0,
    );
    const crossed = crossedSeams.flatMap((seam) =>
      letteringCrossings(lettering, seam).map((met) =>
        crossingFinding(seam, sentence(seamName(context, seam)), met, length),
      ),
    );
    return [...crossed, ...ignored, ...unseenFindings(layout, page, crossedSeams, job)];
  });
}

/** Notes once for a side what the program cannot check. */
function unseenFindings({ side }: SideLayout, page: PageScan, seams: readonly Seam[], job: Job): Finding[] {
  if (seams.length === 0) return [];
  const where = { sideId: side.id };
  const unseen: Finding[] = [];
  if (!page.shapes) {
    unseen.push(
      finding(
        'lettering-not-looked-for',
        'note',
        where,
        `Page ${page.number} could not be drawn, so on ${side.code} only live text was looked for, no lettering that is outlines or pixels.`,
        'Look where the seams cross lettering.',
      ),
    );
  }
  const pictures = page.images
    .filter(({ isMask }) => !isMask)
    .map(({ area }) => letteringOnSide(job, side, storedFromRect(area)));
  if (seams.some((seam) => pictures.some((picture) => isSeamThrough(seam, picture)))) {
    unseen.push(
      finding(
        'faces-not-looked-for',
        'note',
        where,
        `Seams of ${side.code} cross pictures, and the program does not recognize faces.`,
        'Look whether a seam crosses a face, and make it a no-seam area.',
      ),
    );
  }
  return unseen;
}

const isSeamThrough = (seam: Seam, rect: Rect<'finished'>): boolean => seamWithin(seam, rect).length > 0;

const ignoredFindings = (job: Job, side: Side): Finding[] =>
  (side.ignoredLettering ?? []).map((rect, index) => {
    const area = letteringOnSide(job, side, rect);
    return finding(
      'lettering-ignored',
      'note',
      { sideId: side.id, itemId: `ignored-${index + 1}`, area },
      `Lettering on ${side.code} is ignored as decoration, ${placeText({ length: jobLengthText(job) }, area)}.`,
      'Clear the mark if a seam must not cut it.',
    );
  });

const isKeptOff = (side: Side, lettering: Lettering): boolean =>
  side.noSeamAreas.some(({ rect }) => isLetteringAt(lettering, rectFromStored<'finished'>(rect)));

function crossingFinding(
  seam: Seam,
  name: string,
  { lettering, reason, warns }: LetteringCrossing,
  length: (mm: Mm) => string,
): Finding {
  const { id: itemId, rect: area, text } = lettering;
  return {
    ...withFigure(
      seam.at,
      finding(
        LETTERING_CODES[reason],
        warns ? 'warn' : 'note',
        { sideId: seam.sideId, seamId: seam.id, itemId, area },
        `${name} ${crossingText(lettering, reason, length)}.`,
        remedyText(lettering, reason),
      ),
    ),
    ...(text !== undefined && { about: `“${text}”` }),
  };
}

function crossingText(lettering: Lettering, reason: CrossingReason, length: (mm: Mm) => string): string {
  const { text, capHeightMm } = lettering;
  const what = text === undefined ? 'what looks like lettering' : `“${text}”`;
  const height = `with capitals about ${length(Math.round(capHeightMm))} high`;
  switch (reason) {
    case 'phone-number':
    case 'web-address':
    case 'legal-marking':
      return `cuts the ${NOUNS[reason]} ${what}`;
    case 'small':
      return `cuts ${what} ${height}; under ${length(SMALL_CAPITALS_MM)} even a small shift shows`;
    case 'upright-stroke':
      return `runs along an upright stroke of ${what} ${height}`;
    case 'large':
      return `cuts ${what} ${height}`;
    case 'unsure':
      return `cuts shapes that may be lettering ${height}`;
  }
}

function remedyText({ text }: Lettering, reason: CrossingReason): string {
  const unread =
    text === undefined
      ? ' The program cannot read it: look whether it is a phone number, a web address or a legal marking.'
      : '';
  switch (reason) {
    case 'upright-stroke':
      return `Move the seam off the stroke, or to a space between words.${unread}`;
    case 'unsure':
      return 'Look whether it is lettering, and make it a no-seam area if it is.';
    case 'large':
      return `Match the letters at the seam when it is installed, or move the seam to a space between words.${unread}`;
    default:
      return `Move the seam to a space between words, or ignore the lettering if it is decoration.${unread}`;
  }
}
